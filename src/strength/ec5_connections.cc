// SPDX-License-Identifier: Apache-2.0
#include "strength/ec5_connections.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace garthwright::strength::ec5 {
namespace {

constexpr double kPi = std::numbers::pi;
double radians(double degrees) { return degrees * kPi / 180; }

/// The rope effect goes to the modes in which the fastener bends or tilts, before the least is taken.
template <int N>
Modes<N> with_rope(const Shear& s, const std::array<double, N>& johansen, const std::array<bool, N>& pulls) {
  Modes<N> m;
  m.johansen = m.with_rope = johansen;
  for (int i = 0; i < N; ++i) {
    if (pulls[i]) m.with_rope[i] += std::min(s.fax / 4, s.rope_limit * johansen[i]);
    if (m.with_rope[i] < m.with_rope[m.governing]) m.governing = i;
  }
  return m;
}

double one_hinge_in_side(const Shear& s) {  // d and j
  const double beta = s.fh2 / s.fh1;
  return 1.05 * s.fh1 * s.t1 * s.d / (2 + beta) *
         (std::sqrt(2 * beta * (1 + beta) + 4 * beta * (2 + beta) * s.my / (s.fh1 * s.d * s.t1 * s.t1)) - beta);
}

double two_hinges(const Shear& s) {  // f and k
  const double beta = s.fh2 / s.fh1;
  return 1.15 * std::sqrt(2 * beta / (1 + beta)) * std::sqrt(2 * s.my * s.fh1 * s.d);
}

double at_plate_one_hinge(const Shear& s) {  // c and g
  return s.fh1 * s.t1 * s.d * (std::sqrt(2 + 4 * s.my / (s.fh1 * s.d * s.t1 * s.t1)) - 1);
}

}  // namespace

double nail_embedment(double d, double rho_k, bool predrilled) {
  return predrilled ? 0.082 * (1 - 0.01 * d) * rho_k : 0.082 * rho_k * std::pow(d, -0.3);
}

double bolt_embedment_along(double d, double rho_k) { return 0.082 * (1 - 0.01 * d) * rho_k; }

double k90(double d, Wood wood) {
  const double base = wood == Wood::softwood ? 1.35 : wood == Wood::hardwood ? 0.90 : 1.30;
  return base + 0.015 * d;
}

double bolt_embedment(double d, double rho_k, double degrees, Wood wood) {
  const double s = std::sin(radians(degrees)), c = std::cos(radians(degrees));
  return bolt_embedment_along(d, rho_k) / (k90(d, wood) * s * s + c * c);
}

double yield_moment(double d, double fu, double coefficient) { return coefficient * fu * std::pow(d, 2.6); }

double rope_limit(Fastener fastener) {
  switch (fastener) {
    case Fastener::round_nail:
      return 0.15;
    case Fastener::square_nail:
    case Fastener::bolt:
      return 0.25;
    case Fastener::other_nail:
      return 0.5;
    case Fastener::screw:
      return 1;
    case Fastener::dowel:
      return 0;
  }
  return 0;
}

Modes<6> single_shear(const Shear& s) {
  const double beta = s.fh2 / s.fh1, r = s.t2 / s.t1, crush = s.fh1 * s.t1 * s.d;
  const double c = crush / (1 + beta) *
                   (std::sqrt(beta + 2 * beta * beta * (1 + r + r * r) + std::pow(beta, 3) * r * r) - beta * (1 + r));
  const double e =
      1.05 * s.fh1 * s.t2 * s.d / (1 + 2 * beta) *
      (std::sqrt(2 * beta * beta * (1 + beta) + 4 * beta * (1 + 2 * beta) * s.my / (s.fh1 * s.d * s.t2 * s.t2)) - beta);
  return with_rope<6>(s, {crush, s.fh2 * s.t2 * s.d, c, one_hinge_in_side(s), e, two_hinges(s)},
                      {false, false, true, true, true, true});
}

Modes<4> double_shear(const Shear& s) {
  return with_rope<4>(s, {s.fh1 * s.t1 * s.d, 0.5 * s.fh2 * s.t2 * s.d, one_hinge_in_side(s), two_hinges(s)},
                      {false, false, true, true});
}

Modes<2> thin_plate(const Shear& s) {
  return with_rope<2>(s, {0.4 * s.fh1 * s.t1 * s.d, 1.15 * std::sqrt(2 * s.my * s.fh1 * s.d)}, {false, true});
}

Modes<3> thick_plate(const Shear& s) {
  return with_rope<3>(s, {at_plate_one_hinge(s), 2.3 * std::sqrt(s.my * s.fh1 * s.d), s.fh1 * s.t1 * s.d},
                      {true, true, false});
}

double plate_capacity(const Shear& s, double plate) {
  const double share = std::clamp((plate - 0.5 * s.d) / (0.5 * s.d), 0.0, 1.0);
  return (1 - share) * thin_plate(s).capacity() + share * thick_plate(s).capacity();
}

Modes<2> thick_plates_outside(const Shear& s) {
  return with_rope<2>(s, {0.5 * s.fh2 * s.t2 * s.d, 2.3 * std::sqrt(s.my * s.fh2 * s.d)}, {false, true});
}

double smooth_nail_withdrawal_strength(double rho_k) { return 20e-6 * rho_k * rho_k; }
double smooth_nail_head_strength(double rho_k) { return 70e-6 * rho_k * rho_k; }

double smooth_nail_withdrawal(double d, double head, double penetration, double thickness, double rho_k,
                              double rho_k_head) {
  if (rho_k_head <= 0) rho_k_head = rho_k;
  const double shallow = std::clamp(penetration / (4 * d) - 2, 0.0, 1.0);
  return std::min(smooth_nail_withdrawal_strength(rho_k) * shallow * d * penetration,
                  smooth_nail_withdrawal_strength(rho_k_head) * d * thickness +
                      smooth_nail_head_strength(rho_k_head) * head * head);
}

double other_nail_withdrawal(double fax_k, double d, double penetration) {
  return fax_k * d * penetration * std::clamp(penetration / (2 * d) - 3, 0.0, 1.0);
}

double screw_withdrawal_strength(double d, double lef, double rho_k) {
  return 0.52 * std::pow(d, -0.5) * std::pow(lef, -0.1) * std::pow(rho_k, 0.8);
}

double screw_kd(double d) { return std::min(d / 8, 1.0); }

namespace {

double to_the_grain(double degrees) {
  const double s = std::sin(radians(degrees)), c = std::cos(radians(degrees));
  return 1.2 * c * c + s * s;
}

}  // namespace

double screw_withdrawal(double d, double lef, double rho_k, double degrees) {
  return screw_withdrawal_strength(d, lef, rho_k) * d * lef * screw_kd(d) / to_the_grain(degrees);
}

double declared_screw_withdrawal(double fax_k, double d, double lef, double degrees, double rho_k, double rho_a) {
  return fax_k * d * lef / to_the_grain(degrees) * std::pow(rho_k / rho_a, 0.8);
}

double head_pull_through(double fhead_k, double head, double rho_k, double rho_a) {
  return fhead_k * head * head * std::pow(rho_k / rho_a, 0.8);
}

double axial_group(double n) { return std::pow(n, 0.9); }

double washer_capacity(double washer, double hole, double fc_90_k) {
  return 3 * fc_90_k * kPi / 4 * (washer * washer - hole * hole);
}

double plate_as_washer(double plate, double d) { return std::min(12 * plate, 4 * d); }

double axial_and_lateral(double axial, double lateral, bool smooth_nail) {
  return smooth_nail ? axial + lateral : axial * axial + lateral * lateral;
}

double nail_kef(double a) {
  if (a >= 14) return 1;
  if (a >= 10) return 0.85 + (a - 10) / 4 * 0.15;
  if (a >= 7) return 0.7 + (a - 7) / 3 * 0.15;
  return std::max(0.5, 0.5 + (a - 4) / 3 * 0.2);
}

double nails_effective(double n, double a1_over_d) { return std::pow(n, nail_kef(a1_over_d)); }

double bolts_effective(double n, double a1, double d, double degrees) {
  const double along = std::min(n, std::pow(n, 0.9) * std::pow(a1 / (13 * d), 0.25));
  return along + (n - along) * std::clamp(degrees / 90, 0.0, 1.0);
}

double splitting_capacity(double b, double h, double he, double w) { return 14 * b * w * std::sqrt(he / (1 - he / h)); }

double joint_density(double rho_mean_1, double rho_mean_2) { return std::sqrt(rho_mean_1 * rho_mean_2); }

double slip_modulus(double rho_mean, double d, SlipKind kind) {
  const double rho = std::pow(rho_mean, 1.5);
  switch (kind) {
    case SlipKind::bolt_screw_or_predrilled_nail:
      return rho * d / 23;
    case SlipKind::nail:
      return rho * std::pow(d, 0.8) / 30;
    case SlipKind::staple:
      return rho * std::pow(d, 0.8) / 80;
  }
  return 0;
}

Spacing nail_spacing(double d, double degrees, bool predrilled, double rho_k) {
  const double c = std::cos(radians(degrees)), s = std::abs(std::sin(radians(degrees)));
  const double cc = std::abs(c), pull = std::max(c, 0.0);
  const bool thin = d < 5;
  if (predrilled)
    return {(4 + cc) * d, (3 + s) * d, (7 + 5 * pull) * d, 7 * d, (thin ? 3 + 2 * s : 3 + 4 * s) * d, 3 * d};
  if (rho_k <= 420)
    return {(thin ? 5 + 5 * cc : 5 + 7 * cc) * d, 5 * d, (10 + 5 * pull) * d, 10 * d,
            (thin ? 5 + 2 * s : 5 + 5 * s) * d,   5 * d};
  return {(7 + 8 * cc) * d, 7 * d, (15 + 5 * pull) * d, 15 * d, (thin ? 7 + 2 * s : 7 + 5 * s) * d, 7 * d};
}

Spacing bolt_spacing(double d, double degrees) {
  const double cc = std::abs(std::cos(radians(degrees))), s = std::abs(std::sin(radians(degrees)));
  const double turn = std::fmod(std::abs(degrees), 360);
  const double unloaded = turn >= 150 && turn <= 210 ? 4 * d : std::max((1 + 6 * s) * d, 4 * d);
  return {(4 + cc) * d, 4 * d, std::max(7 * d, 80.0), unloaded, std::max((2 + 2 * s) * d, 3 * d), 3 * d};
}

AxialSpacing axial_screw_spacing(double d) { return {7 * d, 5 * d, 10 * d, 4 * d}; }

BoltHole bolt_hole(double d) { return {d + 1, d + std::max(2.0, 0.1 * d), 3 * d, 0.3 * d}; }

}  // namespace garthwright::strength::ec5
