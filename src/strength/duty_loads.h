// SPDX-License-Identifier: Apache-2.0
//
// What bodies get to bear for what they are there for: soil behind boards, people on seats, floors and guards, leaves
// on their hinges.
#pragma once

#include <vector>

#include "strength/model.h"
#include "structure/check.h"
#include "structure/site.h"

namespace garthwright::strength {

/// Earth at rest (EN 1997-1 9.5.2, Jaky with φ = 30°): boards that are tied do not give enough for active pressure.
/// Wet topsoil; what stands or digs beside it, our own.
inline constexpr double kSoilKnM3 = 18, kAtRest = 0.5, kBesideSoilKpa = 2.5;

/// One that sits: ADA Standards 903.6, 250 lbf anywhere on a seat; EN 581-2 tries outdoor seats for 110 kg (1079 N).
inline constexpr double kSitsN = 1112;
/// Slats nearer than this to one another share one who sits: common practice.
inline constexpr double kSharedGap = 25;  // mm
/// Floors and steps: EN 1991-1-1 Table 6.2, category A, floors 2.0 kN/m² and 2.0 kN; IRC Table R301.5, 40 psf, and
/// 300 lb on a tread.
inline constexpr double kWalkKpa = 2.0, kWalkN = 2000, kWalkPsf = 40, kWalkLb = 300;
/// The square that a person stands on, mm: EN 1991-1-1 6.3.1.2(5); IRC Table R301.5 has four square inches.
inline constexpr double kStandsOn = 50;
/// One who rides on the end of a gate: common practice.
inline constexpr double kRiderKg = 80;

/// Soil pushes its boards outwards: away from the middle of what it fills, or onto the posts of a single row. A board
/// bears the pressure at its middle over its height. `at_top_kpa`: what lies on the soil; `weight`: with the soil's
/// own.
frame::Loads soil_push(const Structure& structure, const Model& model, bool weight, double at_top_kpa);

/// The leaves' own couple on their posts, shut: weight times its distance, over that of the hinges.
frame::Loads leaf_couples(const Structure& structure, const Model& model);

/// What the hinges of a leaf bear: its own weight and one that rides on its end, and by how much each pulls the top
/// hinge and pushes the lowest, level, the way the leaf points.
struct HingeLoad {
  double weight_n = 0, rider_n = 0, weight_pulls_n = 0, rider_pulls_n = 0;
};
HingeLoad hinge_load(const Structure& structure, const Swing& swing);

/// A force at a time, each with who brings it.
struct Use {
  State state;
  frame::Loads loads;
};
std::vector<Use> uses(const Structure& structure, const Model& model, const Site& site);

}  // namespace garthwright::strength
