// SPDX-License-Identifier: Apache-2.0
#pragma once

/// Concrete in a post hole: volumes and bags. Any one unit of length in, its cube out, unless said.
namespace garthwright::ground {

/// Whole hole, and what is left beside a square post that runs through it.
struct HoleVolume {
  double gross = 0, net = 0;
};
HoleVolume round_hole(double diameter, double depth, double post);
HoleVolume round_hole(double diameter, double depth, double post_a, double post_b);
/// Always up; a hair over a whole number is that number.
int bags(double volume, double yield);

}  // namespace garthwright::ground
