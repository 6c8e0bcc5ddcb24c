// SPDX-License-Identifier: Apache-2.0
#include "strength/nds_connections.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace garthwright::strength::nds {
namespace {

constexpr double kNone = std::numeric_limits<double>::infinity();
/// A quarter inch in any decimal that a drawing may carry.
constexpr double kQuarter = 0.25 - 1e-9;

struct Reduction {
  double crushing, tilting, bending;  // Rd for I, II, III and IV: Table 12.3.1B
};

Reduction reduction(const Dowel& w) {
  const double k_theta = 1 + 0.25 * w.degrees / 90;
  if (w.d >= kQuarter) return {4 * k_theta, 3.6 * k_theta, 3.2 * k_theta};
  // Of the root for threads of a quarter inch and more (as Table 12K is reckoned); of the outside for thinner ones,
  // where the standard may be read either way, since that is the weaker.
  const double of = w.nominal_d >= kQuarter ? w.d : std::max(w.d, w.nominal_d);
  double kd = of <= 0.17 ? 2.2 : 10 * of + 0.5;
  if (w.nominal_d >= kQuarter) kd *= k_theta;  // a threaded one, thick outside and thin at the root
  return {kd, kd, kd};
}

Yield least(const std::array<double, 6>& modes) {
  Yield y{modes, 0};
  y.governing = static_cast<int>(std::min_element(modes.begin(), modes.end()) - modes.begin());
  return y;
}

}  // namespace

double bearing_along(double g) { return 11200 * g; }
double bearing_across(double g, double d) { return 6100 * std::pow(g, 1.45) / std::sqrt(d); }
double bearing_small(double g) { return 16600 * std::pow(g, 1.84); }
double bearing_at(double g, double d, double degrees) {
  const double a = degrees * std::numbers::pi / 180, s = std::sin(a), c = std::cos(a);
  const double along = bearing_along(g), across = bearing_across(g, d);
  return along * across / (along * s * s + across * c * c);
}
double nearest_50(double psi) { return 50 * std::round(psi / 50); }

double nail_yield_step(double d) {
  return d <= 0.142   ? 100000
         : d <= 0.177 ? 90000
         : d <= 0.236 ? 80000
         : d <= 0.273 ? 70000
         : d <= 0.344 ? 60000
                      : 45000;
}

double nail_yield_regression(double d) { return 1000 * (130.4 - 213.9 * d); }

Yield single_shear(const Dowel& w) {
  const double re = w.fem / w.fes, rt = w.lm / w.ls, d2 = w.d * w.d;
  const double k1 =
      (std::sqrt(re + 2 * re * re * (1 + rt + rt * rt) + rt * rt * std::pow(re, 3)) - re * (1 + rt)) / (1 + re);
  const double k2 = -1 + std::sqrt(2 * (1 + re) + 2 * w.fyb * (1 + 2 * re) * d2 / (3 * w.fem * w.lm * w.lm));
  const double k3 = -1 + std::sqrt(2 * (1 + re) / re + 2 * w.fyb * (2 + re) * d2 / (3 * w.fem * w.ls * w.ls));
  const Reduction rd = reduction(w);
  return least({w.d * w.lm * w.fem / rd.crushing, w.d * w.ls * w.fes / rd.crushing,
                k1 * w.d * w.ls * w.fes / rd.tilting, k2 * w.d * w.lm * w.fem / ((1 + 2 * re) * rd.bending),
                k3 * w.d * w.ls * w.fem / ((2 + re) * rd.bending),
                d2 / rd.bending * std::sqrt(2 * w.fem * w.fyb / (3 * (1 + re)))});
}

Yield double_shear(const Dowel& w) {
  const std::array<double, 6> one = single_shear(w).modes;
  return least({one[0], 2 * one[1], kNone, kNone, 2 * one[4], 2 * one[5]});
}

double penetration_factor(double penetration, double d) {
  return penetration < 6 * d ? 0 : std::min(1.0, penetration / (10 * d));
}

double lag_withdrawal(double g, double d) { return 1800 * std::pow(g, 1.5) * std::pow(d, 0.75); }
double wood_screw_withdrawal(double g, double d) { return 2850 * g * g * d; }
double nail_withdrawal(double g, double d) { return 1380 * std::pow(g, 2.5) * d; }

double ring_nail_withdrawal(double g, double d) { return 1800 * g * g * d; }

double head_pull_through(double g, double head, double thickness) {
  const double pi = std::numbers::pi;
  return thickness <= 2.5 * head ? 690 * pi * head * g * g * thickness : 1725 * pi * head * head * g * g;
}

double washer_bearing(double outside, double hole, double fc_perp, bool far_from_end) {
  const double area = std::numbers::pi / 4 * (outside * outside - hole * hole);
  return fc_perp * area * (far_from_end ? (outside + 0.375) / outside : 1);
}

double lag_combined(double w, double z, double degrees) {
  const double a = degrees * std::numbers::pi / 180, s = std::sin(a), c = std::cos(a);
  return w * z / (w * c * c + z * s * s);
}

double nail_combined(double w, double z, double degrees) {
  const double a = degrees * std::numbers::pi / 180;
  return w * z / (w * std::cos(a) + z * std::sin(a));
}

double group_action(double n, double s, double d, double main_area, double side_area, double main_e, double side_e,
                    double gamma_factor) {
  if (d < kQuarter || n <= 1) return 1;
  const double gamma = gamma_factor * std::pow(d, 1.5);
  const double ea_main = main_e * main_area, ea_side = side_e * side_area;
  const double rea = std::min(ea_main / ea_side, ea_side / ea_main);
  const double u = 1 + gamma * s / 2 * (1 / ea_main + 1 / ea_side);
  const double m = u - std::sqrt(u * u - 1);
  return m * (1 - std::pow(m, 2 * n)) / (n * ((1 + rea * std::pow(m, n)) * (1 + m) - 1 + std::pow(m, 2 * n))) *
         (1 + rea) / (1 - m);
}

BoltGeometry bolt_geometry(double d, double l_over_d) {
  const double edge_along = l_over_d <= 6 ? 1.5 * d : std::max(1.5 * d, l_over_d * d / 4);  // half the row gap l/2
  return {7 * d, 3.5 * d, 4 * d, 2 * d, 4 * d, 2 * d, edge_along, 4 * d, 1.5 * d, 4 * d, 3 * d, 1.5 * d};
}

double between_rows_across(double l, double d) {
  const double ratio = l / d;
  return ratio <= 2 ? 2.5 * d : ratio < 6 ? (5 * l + 10 * d) / 8 : 5 * d;
}

double geometry_factor(double actual, double least, double full) {
  return actual < least ? 0 : std::min(1.0, actual / full);
}

}  // namespace garthwright::strength::nds
