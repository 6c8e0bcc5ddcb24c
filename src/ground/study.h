// SPDX-License-Identifier: Apache-2.0
//
// Will the posts stand in their holes: sideways (IBC 1807.3, Broms), uplift, bearing and frost, from what the frame
// asks of each post. Indicative; made ground, peat and soft clay are refused.
#pragma once

#include <string>
#include <vector>

#include "ground/elastic_posts.h"
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

/// Checks of one structure's holes; loads of its posts in any order.
std::vector<Check> study(const Structure& structure, const Site& site, const std::vector<PostLoad>& loads);

struct Report {
  std::vector<Check> checks;
};

/// Force (kN) that a hole allows at height `arm_m`, by IBC 1807.3.2.1 with the doubled pressure of 1806.3.4, and by
/// Broms over a safety of 2.5, `lost_m` of the top giving nothing.
double ibc_capacity_kn(const Site& site, double diameter_m, double depth_m, double arm_m);
double broms_capacity_kn(const Site& site, double diameter_m, double depth_m, double arm_m, double lost_m);

}  // namespace garthwright::ground
