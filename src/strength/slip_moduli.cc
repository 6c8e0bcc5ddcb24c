// SPDX-License-Identifier: Apache-2.0
#include "strength/slip_moduli.h"

#include <algorithm>
#include <cmath>

#include "strength/ec5_connections.h"

namespace garthwright::strength {
namespace {

constexpr double kSoftThread = 40;                       // mm
constexpr double kSteelE = 210000, kAcrossGrainE = 370;  // N/mm²: EN 1993-1-1; E90,mean of C24, EN 338
constexpr double kEndGrain = 0.9;                        // cosine

ec5::SlipKind slip_kind(const Fixing& f) {
  if (f.kind == timber::FixingKind::staple) return ec5::SlipKind::staple;
  if (f.kind == timber::FixingKind::nail && f.pilot <= 0) return ec5::SlipKind::nail;
  return ec5::SlipKind::bolt_screw_or_predrilled_nail;
}

/// A bolt pulled: its steel in line with the timber under two washers, a depth of one washer each (our own).
double bolt_along(const Fixing& f) {
  const double washer = std::max({f.make.washer_mm, f.across_head, 2 * f.diameter});
  const double bed = kAcrossGrainE * 0.785 * (washer * washer - f.diameter * f.diameter) / washer;
  const double steel = kSteelE * 0.6 * f.diameter * f.diameter / std::max(f.length, 1.0);
  return 1 / (2 / bed + 1 / steel);
}

}  // namespace

/// Two legs one after the other, each of four nails through steel and more (EN 1995-1-1 7.1(3)); pulled, a leg bends
/// off its face, a quarter of that. Our own: no maker declares a stiffness.
SlipModuli part_slip(const Fixing& f, double rho) {
  SlipModuli k;
  k.k_ser = 0.5 * 4 * 2 * ec5::slip_modulus(rho, f.diameter, ec5::SlipKind::nail);
  k.k_u = ec5::ultimate_slip_modulus(k.k_ser);
  k.along_soft = k.along_stiff = 0.25 * k.k_ser;
  return k;
}

SlipModuli slip_moduli(const Fixing& f, double rho_mean_1, double rho_mean_2, double thread, bool steel_plate) {
  if (is_connector(f.kind)) return part_slip(f, std::min(rho_mean_1, rho_mean_2));
  SlipModuli k;
  const double rho = steel_plate ? std::max(rho_mean_1, rho_mean_2) : ec5::joint_density(rho_mean_1, rho_mean_2);
  k.k_ser = ec5::slip_modulus(rho, f.diameter, slip_kind(f)) * (steel_plate ? 2 : 1);
  k.k_u = ec5::ultimate_slip_modulus(k.k_ser);
  if (is_bolt(f.kind)) {
    k.along_soft = k.along_stiff = bolt_along(f);
  } else if (thread > 0) {
    const double soft = 25 * f.diameter * std::min(thread, kSoftThread);
    const double stiff = 780 * std::pow(f.diameter, 0.2) * std::pow(thread, 0.4);
    k.along_soft = std::min(soft, stiff), k.along_stiff = std::max(soft, stiff);
  }
  return k;
}

Holds holds_in_end_grain(const Fixing& f, bool us_route) {
  if (us_route) return {true, f.kind == timber::FixingKind::coach_screw};
  return {f.make.end_grain_across > 0, f.make.end_grain_along > 0};
}

bool into_end_grain(const Structure& s, const Fixing& f, Body b) {
  // The nails of a bent part are driven through its legs, square to the timber's faces.
  return b.kind == Body::Kind::piece && !is_connector(f.kind) &&
         std::abs(dot(s.pieces[static_cast<std::size_t>(b.index)].frame.x, unit(f.direction))) > kEndGrain;
}

}  // namespace garthwright::strength
