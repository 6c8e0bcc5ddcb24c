// SPDX-License-Identifier: Apache-2.0
#include "ground/elastic_posts.h"

#include <cmath>
#include <numbers>

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

double foundation_beta(double k, double ei) { return std::pow(k / (4 * ei), 0.25); }

OnFoundation endless_beam(double p, double k, double ei) {
  const double beta = foundation_beta(k, ei);
  return {p * beta / (2 * k), 0, p / (4 * beta), 0};
}

OnFoundation beam_loaded_at_its_end(double p, double k, double ei) {
  const double beta = foundation_beta(k, ei), at = std::numbers::pi / 4;
  return {2 * p * beta / k, 2 * p * beta * beta / k, p / beta * std::exp(-at) * std::sin(at), at / beta};
}

}  // namespace garthwright::ground
