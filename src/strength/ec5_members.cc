// SPDX-License-Identifier: Apache-2.0
#include "strength/ec5_members.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace garthwright::strength::ec5 {

double kmod(ServiceClass service, Duration duration) {
  constexpr std::array<double, 5> kDry = {0.60, 0.70, 0.80, 0.90, 1.10};
  constexpr std::array<double, 5> kWet = {0.50, 0.55, 0.65, 0.70, 0.90};
  return (service == ServiceClass::three ? kWet : kDry)[static_cast<int>(duration)];
}

double kdef(ServiceClass service) {
  return service == ServiceClass::one ? 0.6 : service == ServiceClass::two ? 0.8 : 2.0;
}

double gamma_m(Material material) {
  switch (material) {
    case Material::solid:
    case Material::connection:
      return 1.3;
    case Material::glulam:
    case Material::punched_plate:
      return 1.25;
    case Material::plate_material:
      return 1.2;
  }
  return 1.3;
}

double kh(double size, double rho_k) {
  return size < 150 && rho_k <= 700 ? std::min(std::pow(150 / size, 0.2), 1.3) : 1;
}

Slenderness slenderness(double lambda, double fc_0_k, double e0_05, double betac) {
  Slenderness s;
  s.lambda = lambda;
  s.lambda_rel = lambda / std::numbers::pi * std::sqrt(fc_0_k / e0_05);
  s.k = 0.5 * (1 + betac * (s.lambda_rel - 0.3) + s.lambda_rel * s.lambda_rel);
  if (s.lambda_rel > 0.3) s.kc = std::min(1.0, 1 / (s.k + std::sqrt(s.k * s.k - s.lambda_rel * s.lambda_rel)));
  return s;
}

Slenderness slenderness_of(double lef, double size, double fc_0_k, double e0_05, double betac) {
  return slenderness(lef * std::sqrt(12.0) / size, fc_0_k, e0_05, betac);
}

namespace {

struct Shares {
  double y_leads = 0, z_leads = 0;
};
Shares shares(const Bending& b) {
  const double y = b.stress_y / b.strength_y, z = b.stress_z / b.strength_z;
  return {y + kKm * z, kKm * y + z};
}

}  // namespace

double bending_utilisation(const Bending& b) { return std::max(shares(b).y_leads, shares(b).z_leads); }

double tension_bending(double stress_t, double ft_0_d, const Bending& b) {
  return stress_t / ft_0_d + bending_utilisation(b);
}

double stocky_compression_bending(double stress_c, double fc_0_d, const Bending& b) {
  return std::pow(stress_c / fc_0_d, 2) + bending_utilisation(b);
}

Combined compression_bending(double stress_c, double fc_0_d, double kc_y, double kc_z, const Bending& b) {
  return {stress_c / (kc_y * fc_0_d) + shares(b).y_leads, stress_c / (kc_z * fc_0_d) + shares(b).z_leads};
}

double beam_effective_length(double span, double h, BeamLoad load, LoadedEdge edge) {
  constexpr std::array<double, 5> kShare = {0.9, 0.8, 1.0, 0.5, 0.8};
  const double edge_adds = edge == LoadedEdge::compression ? 2 * h : edge == LoadedEdge::tension ? -0.5 * h : 0;
  return kShare[static_cast<int>(load)] * span + edge_adds;
}

double critical_bending_stress(double b, double h, double lef, double e0_05) {
  return 0.78 * b * b * e0_05 / (h * lef);
}

double relative_bending_slenderness(double fm_k, double sigma_crit) { return std::sqrt(fm_k / sigma_crit); }

double kcrit(double l) { return l <= 0.75 ? 1 : l <= 1.4 ? 1.56 - 0.75 * l : 1 / (l * l); }

double shear_stress(double v, double b, double h, double kcr) { return 1.5 * v / (kcr * b * h); }

double kshape(const Rectangle& r, TorsionText text) {
  const double ratio = std::max(r.b, r.h) / std::min(r.b, r.h);
  return text == TorsionText::original_2004 ? std::min(1 + 0.15 * ratio, 2.0) : std::min(1 + 0.05 * ratio, 1.3);
}

double kv(double h, double h_ef, double x, double slope, double kn) {
  const double a = h_ef / h;
  if (a >= 1) return 1;
  const double below = std::sqrt(h) * (std::sqrt(a * (1 - a)) + 0.8 * x / h * std::sqrt(1 / a - a * a));
  return std::min(1.0, kn * (1 + 1.1 * std::pow(slope, 1.5) / std::sqrt(h)) / below);
}

double notched_shear_capacity(double b, double h_ef, double kv, double fv_d, double kcr) {
  return kv * fv_d * kcr * b * h_ef / 1.5;
}

double bearing_length(double contact, double free_before, double free_after, double gap) {
  const auto adds = [&](double free) { return std::max(0.0, std::min({30.0, free, contact, gap / 2})); };
  return contact + adds(free_before) + adds(free_after);
}

double kc90(BearingOn on, bool glulam, double contact, double gap, double h) {
  if (on == BearingOn::other || gap < 2 * h) return 1;
  if (on == BearingOn::continuous) return glulam ? 1.5 : 1.25;
  return glulam ? (contact <= 400 ? 1.75 : 1.0) : 1.5;
}

double compression_at_angle(double degrees, double fc_0_d, double fc_90_d, double kc90) {
  const double a = degrees * std::numbers::pi / 180, s = std::sin(a), c = std::cos(a);
  return fc_0_d / (fc_0_d / (kc90 * fc_90_d) * s * s + c * c);
}

double uniform_sag(double q, double span, double e, double i) { return 5 * q * std::pow(span, 4) / (384 * e * i); }

double uniform_shear_sag(double q, double span, double g, double area) {
  return 1.2 * q * span * span / (8 * g * area);
}

}  // namespace garthwright::strength::ec5
