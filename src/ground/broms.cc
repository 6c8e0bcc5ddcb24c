// SPDX-License-Identifier: Apache-2.0
#include "ground/broms.h"

#include <cmath>
#include <numbers>

namespace garthwright::ground::broms {

/// P (e + 1.5 b + f/2) = 2.25 cu b g² with f = P/(9 cu b), g = L - 1.5 b - f is a quadratic in f:
/// 9 f (e + 1.5 b) + 4.5 f² = 2.25 (D - f)², D = L - 1.5 b  ->  f² + (4 e + 6 b + 2 D) f - D² = 0.
Short in_clay(double cu, double b, double depth, double e) {
  Short r;
  const double d = depth - 1.5 * b;
  if (d <= 0) return r;
  const double half = 2 * e + 3 * b + d;
  r.f_m = d * d / (half + std::sqrt(half * half + d * d));
  r.force_kn = 9 * cu * b * r.f_m;
  r.moment_knm = r.force_kn * (e + 1.5 * b + 0.5 * r.f_m);
  return r;
}

double rankine_passive(double phi_deg) {
  const double t = std::tan((45 + phi_deg / 2) * std::numbers::pi / 180);
  return t * t;
}

Short in_sand(double gamma, double phi, double b, double depth, double e) {
  Short r;
  if (depth <= 0) return r;
  const double kp = rankine_passive(phi);
  r.force_kn = 0.5 * gamma * b * depth * depth * depth * kp / (e + depth);
  r.f_m = std::sqrt(r.force_kn / (1.5 * b * kp * gamma));  // 1.5 γ b Kp f² = P, the 0.82 of the paper
  r.moment_knm = r.force_kn * (e + 2 * r.f_m / 3);
  return r;
}

}  // namespace garthwright::ground::broms
