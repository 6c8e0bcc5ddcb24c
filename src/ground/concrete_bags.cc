// SPDX-License-Identifier: Apache-2.0
#include "ground/concrete_bags.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace garthwright::ground {

HoleVolume round_hole(double diameter, double depth, double a, double b) {
  const double gross = std::numbers::pi / 4 * diameter * diameter * depth;
  return {gross, std::max(0.0, gross - a * b * depth)};
}

HoleVolume round_hole(double diameter, double depth, double post) { return round_hole(diameter, depth, post, post); }

HoleVolume square_hole(double side, double depth, double post) {
  return {side * side * depth, std::max(0.0, (side * side - post * post) * depth)};
}

int bags(double volume, double yield) { return static_cast<int>(std::ceil(volume / yield - 1e-9)); }

double bag_yield_ft3(double bag_lb) { return 0.0075 * bag_lb; }

std::optional<Mix> mix(std::string_view name) {
  constexpr std::array kMixes = {Mix{"C15_1_3_6", 200, 754, 1843, 80}, Mix{"C20_1_2_4", 275, 718, 1755, 110},
                                 Mix{"C30_1_2_3", 325, 837, 1536, 130}};
  for (const Mix& m : kMixes)
    if (m.name == name) return m;
  return std::nullopt;
}

}  // namespace garthwright::ground
