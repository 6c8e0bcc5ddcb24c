// SPDX-License-Identifier: Apache-2.0
#include "ground/concrete_bags.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace garthwright::ground {

HoleVolume round_hole(double diameter, double depth, double a, double b) {
  const double gross = std::numbers::pi / 4 * diameter * diameter * depth;
  return {gross, std::max(0.0, gross - a * b * depth)};
}

HoleVolume round_hole(double diameter, double depth, double post) { return round_hole(diameter, depth, post, post); }

int bags(double volume, double yield) { return static_cast<int>(std::ceil(volume / yield - 1e-9)); }

}  // namespace garthwright::ground
