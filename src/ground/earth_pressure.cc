// SPDX-License-Identifier: Apache-2.0
#include "ground/earth_pressure.h"

#include <cmath>
#include <numbers>

namespace garthwright::ground {
namespace {

double radians(double degrees) { return degrees * std::numbers::pi / 180; }

}  // namespace

double rankine_active(double phi) { return std::pow(std::tan(radians(45 - phi / 2)), 2); }
double at_rest(double phi) { return 1 - std::sin(radians(phi)); }

EarthPush earth_push(double k, double gamma, double h, double q) {
  EarthPush p;
  p.at_foot_kpa = earth_pressure(k, gamma, h, q);
  p.push_kn_m = k * (0.5 * gamma * h * h + q * h);
  p.moment_knm_m = k * (gamma * h * h * h / 6 + q * h * h / 2);
  p.arm_m = p.push_kn_m > 0 ? p.moment_knm_m / p.push_kn_m : 0;
  return p;
}

BoardLoad bottom_board(const EarthPush& push, double board_height, double spacing) {
  const double w = push.at_foot_kpa * board_height;
  return {w, w * spacing * spacing / 8};
}

}  // namespace garthwright::ground
