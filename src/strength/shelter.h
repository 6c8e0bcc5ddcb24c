// SPDX-License-Identifier: Apache-2.0
//
// Timbers that stand behind each other in the wind: what one covers of another counts once.
#pragma once

#include <vector>

#include "structure/structure.h"

namespace garthwright::strength {

/// Of frames alike and one behind the other, what the second and each after it takes beside the first. IS 875-3:1987
/// Table 29, as CP3 Ch V Part 2 (from memory); neither EN 1991-1-4 nor ASCE 7 has such a rule, and AS/NZS 1170.2 Table
/// C.2 gives less. `spacing`: between centres, over the depth across the wind.
double shielding(double solidity, double spacing);

/// Part of its wind that each timber takes: behind the first of a row of equal parallel timbers, and behind, before or
/// within a panel whose solidity is `panel_solidity[panel]`. `along`: where the wind blows to, unit.
std::vector<double> exposed(const Structure& structure, Vec3 along, const std::vector<double>& panel_solidity);

/// A rectangle seen against the wind.
struct Silhouette {
  double left = 0, right = 0, low = 0, high = 0;
};
Silhouette silhouette(const Box& box, Vec3 along);
/// Plan of a box: left and right along x, low and high along y.
Silhouette plan_of(const Box& box);
/// Area that the rectangles cover together, within `frame`.
double covered(const std::vector<Silhouette>& all, const Silhouette& frame);

}  // namespace garthwright::strength
