// SPDX-License-Identifier: Apache-2.0
//
// Will the posts stand in their holes: sideways (IBC 1807.3 on the United States route, Broms with EN 1997 on the
// European one), uplift, bearing, frost and their sizes, from what the frame asks of each post. Indicative; made
// ground and peat are refused, and soft clay whose strength nobody measured.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "ground/elastic_posts.h"
#include "ground/soil.h"
#include "structure/check.h"
#include "structure/site.h"
#include "structure/structure.h"

namespace garthwright::ground {

/// What a post asks of its hole at ground level; see the frame's study. `equilibrium`: factored for uplift, else
/// characteristic (EN) or allowable stress (US).
struct PostLoad {
  int footing = 0;
  bool equilibrium = false;
  Situation when;
  double sideways_n = 0, moment_nmm = 0, down_n = 0;
};

/// Springs of the ground for a hole. Clays: 67 cu on each length of post (Davisson 1970, from memory). Sands: n z with
/// n of 2.2 (loose), 6.6 (medium), 18 MN/m³ (dense), Terzaghi 1955, from memory.
GroundSprings hole_spring(const Footing& footing, const Site& site);

/// Fails where posts stand in ground that no hole may be sized in by presumed values, whatever they carry.
std::optional<Check> unsizable(const Structure& structure, const Site& site);

/// Checks of one structure's holes; loads of its posts in any order. `holds`: only what the loads decide.
std::vector<Check> holds(const Structure& structure, const Site& site, const std::vector<PostLoad>& loads);
std::vector<Check> study(const Structure& structure, const Site& site, const std::vector<PostLoad>& loads);

struct Report {
  std::vector<Check> checks;
};

/// The ground of a site; clay with the strength that was measured in it. None where nothing may be sized in it.
std::optional<PlainSoil> ground_of(const Site& site);

/// Force (kN) that a hole bears at height `arm_m`. United States: allowed, by IBC 1807.3.2.1 with the doubled pressure
/// of 1806.3.4; in clay that was measured no more than Broms over EP486's 2.5 either. Europe: at the end, by Broms with
/// the soil's strength divided by `Factors`, `lost_m` of the top giving nothing.
double ibc_capacity_kn(const Site& site, double diameter_m, double depth_m, double arm_m);
struct Factors {
  double action = 1, tan_phi = 1, cu = 1, weight = 1;  ///< of variable and of permanent actions
};
/// EN 1997-1 Annex A, Design Approach 1: A1 with M1, A2 with M2 (R1 is 1), recommended values.
inline constexpr Factors kDa1Combination1{1.5, 1, 1, 1.35}, kDa1Combination2{1.3, 1.25, 1.4, 1};
double broms_capacity_kn(const Site& site, double diameter_m, double depth_m, double arm_m, double lost_m,
                         const Factors& soil);
/// Whether a wider hole never holds less, sideways, up and down: Broms leaves out the top 1.5 widths of clay.
bool wider_holds_more(const Site& site);
/// What of a hole's sideways strength a characteristic (US: allowable-stress) force uses: US by IBC, EN by Broms with
/// both combinations of Design Approach 1. All of the force counts as variable: weight pushes sideways next to nothing.
double sideways_use(const Site& site, const PostLoad& load, double diameter_m, double depth_m, double lost_m = 0);

/// What holds a post down, kN: the concrete's weight, and the ground along it below the top 0.3 m.
/// EN 1997-1 2.4.7.4: 0.9 of the weight; sand: K0 = 1 - sin φ (9.5.2), wall friction φ as cast against it (9.5.1(6)),
/// tan φ over 1.25; clay: 0.45 cu (Skempton 1959, bored piles, from memory) over 1.4 (Table A.16). US: 0.6 of the
/// weight (ASCE 7-16 2.4.1 (7)), a third of the friction (IBC 1810.3.3.1.5, from memory).
struct HoldsDown {
  double weight_kn = 0, friction_kn = 0;
  double sum() const { return weight_kn + friction_kn; }
};
HoldsDown holds_down(const Site& site, double concrete_m3, double diameter_m, double depth_m);

/// How the ground under a hole's foot is pressed, kPa, by a characteristic (US: allowable-stress) force and the hole's
/// own concrete, and what it bears. Presumed pressures of IBC Table 1806.2; clay that was measured by EN 1997-1 D.3
/// with both combinations of Design Approach 1 (all of the force counted as variable), US over EP486's greatest safety
/// and no more than the table's clay.
struct Pressed {
  double kpa = 0, bears_kpa = 0;
  double use() const { return kpa / bears_kpa; }
};
Pressed pressed(const Site& site, double down_n, double diameter_m, double depth_m);

}  // namespace garthwright::ground
