// SPDX-License-Identifier: Apache-2.0
#include "ground/elastic_posts.h"

namespace garthwright::ground {

RigidPost rigid_post_even(double h, double e, double l, double k) {
  RigidPost r;
  r.shift_mm = 2 * h * (2 * l + 3 * e) / (k * l * l);
  r.turn_rad = 6 * h * (l + 2 * e) / (k * l * l * l);
  r.pivot_mm = r.shift_mm / r.turn_rad;
  return r;
}

RigidPost rigid_post_rising(double h, double e, double l, double n) {
  RigidPost r;
  r.shift_mm = 6 * h * (3 * l + 4 * e) / (n * l * l * l);
  r.turn_rad = 12 * h * (2 * l + 3 * e) / (n * l * l * l * l);
  r.pivot_mm = r.shift_mm / r.turn_rad;
  return r;
}

GroundSprings springs_even(double l, double k) { return {k * l, k * l * l * l / 12, l / 2}; }

GroundSprings springs_rising(double l, double n) { return {n * l * l / 2, n * l * l * l * l / 36, 2 * l / 3}; }

}  // namespace garthwright::ground
