// SPDX-License-Identifier: Apache-2.0
#include "strength/nds_members.h"

#include <cmath>
#include <limits>
#include <numbers>

namespace garthwright::strength::nds {

Column column(double fc_star, double e_min_prime, double le, double d, double c) {
  Column r;
  r.le_over_d = le / d;
  r.f_ce = 0.822 * e_min_prime / (r.le_over_d * r.le_over_d);
  const double a = r.f_ce / fc_star, m = (1 + a) / (2 * c);
  r.cp = m - std::sqrt(m * m - a / c);
  r.fc_prime = r.cp * fc_star;
  return r;
}

double beam_effective_length(double lu, double d) { return lu / d < 7 ? 2.06 * lu : 1.63 * lu + 3 * d; }

double stability_factor(double f_be, double fb_star) {
  const double a = f_be / fb_star, m = (1 + a) / 1.9;
  return m - std::sqrt(m * m - a / 0.95);
}

Beam beam(double fb_star, double e_min_prime, double lu, double b, double d) {
  Beam r;
  r.le = beam_effective_length(lu, d);
  r.rb = std::sqrt(r.le * d / (b * b));
  r.f_be = 1.2 * e_min_prime / (r.rb * r.rb);
  r.cl = stability_factor(r.f_be, fb_star);
  return r;
}

double notched_shear(double fv_prime, double b, double d, double dn) {
  return shear(fv_prime, b, dn) * (dn / d) * (dn / d);
}

double bearing_factor(double lb, double from_end) { return lb < 6 && from_end >= 3 ? (lb + 0.375) / lb : 1; }

double bearing_at_angle(double degrees, double fc_star, double fc_perp_prime) {
  const double a = degrees * std::numbers::pi / 180, s = std::sin(a), c = std::cos(a);
  return fc_star * fc_perp_prime / (fc_star * s * s + fc_perp_prime * c * c);
}

double compression_bending(double fc, double fc_prime, double fb, double fb_prime, double f_ce) {
  if (fc >= f_ce) return std::numeric_limits<double>::infinity();
  return std::pow(fc / fc_prime, 2) + fb / (fb_prime * (1 - fc / f_ce));
}

double compression_bending(const BothAxes& s) {
  const double sideways = s.fc / s.f_ce2 + std::pow(s.fb1 / s.f_be, 2);
  if (s.fc >= s.f_ce1 || sideways >= 1) return std::numeric_limits<double>::infinity();
  return std::pow(s.fc / s.fc_prime, 2) + s.fb1 / (s.fb1_prime * (1 - s.fc / s.f_ce1)) +
         s.fb2 / (s.fb2_prime * (1 - sideways));
}

}  // namespace garthwright::strength::nds
