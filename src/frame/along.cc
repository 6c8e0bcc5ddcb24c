// SPDX-License-Identifier: Apache-2.0
#include "frame/along.h"

#include <algorithm>
#include <cmath>

namespace garthwright::frame {
namespace {

/// Cubic through two ends' shifts and slopes, plus what the uniform load adds between held ends: q x²(L-x)²/24EI.
double bent(double a, double slope_a, double b, double slope_b, double l, double x, double q_over_ei) {
  const double t = x / l;
  const double cubic = a * (1 - 3 * t * t + 2 * t * t * t) + slope_a * l * (t - 2 * t * t + t * t * t) +
                       b * (3 * t * t - 2 * t * t * t) + slope_b * l * (t * t * t - t * t);
  return cubic + q_over_ei * x * x * (l - x) * (l - x) / 24;
}

}  // namespace

SectionForces forces_along(const MemberResult& r, double x) {
  const Wrench& a = r.end[0];
  const Vec3& q = r.uniform_n_per_mm;
  SectionForces s;
  s.axial_n = -a.force_n[0] - q[0] * x;
  s.shear_y_n = -a.force_n[1] - q[1] * x;
  s.shear_z_n = -a.force_n[2] - q[2] * x;
  s.torsion_nmm = -a.moment_nmm[0];
  s.moment_z_nmm = -a.moment_nmm[2] + a.force_n[1] * x + q[1] * x * x / 2;
  s.moment_y_nmm = -a.moment_nmm[1] - a.force_n[2] * x - q[2] * x * x / 2;
  return s;
}

std::vector<double> places_of_greatest_moment(const MemberResult& r) {
  std::vector<double> places = {0, r.length_mm};
  for (int plane : {1, 2}) {
    const double q = r.uniform_n_per_mm[plane];
    if (q == 0) continue;
    const double x = -r.end[0].force_n[plane] / q;
    if (x > 0 && x < r.length_mm) places.push_back(x);
  }
  std::sort(places.begin(), places.end());
  return places;
}

Vec3 shift_along(const Member& m, const MemberResult& r, double x) {
  const Motion &a = r.motion[0], &b = r.motion[1];
  const double l = r.length_mm;
  const Vec3& q = r.uniform_n_per_mm;
  return {a.translation_mm[0] + (b.translation_mm[0] - a.translation_mm[0]) * x / l +
              q[0] * x * (l - x) / (2 * m.e_mpa * m.area_mm2),
          bent(a.translation_mm[1], a.rotation_rad[2], b.translation_mm[1], b.rotation_rad[2], l, x,
               q[1] / (m.e_mpa * m.iz_mm4)),
          bent(a.translation_mm[2], -a.rotation_rad[1], b.translation_mm[2], -b.rotation_rad[1], l, x,
               q[2] / (m.e_mpa * m.iy_mm4))};
}

Sag greatest_sag(const Member& member, const MemberResult& r) {
  constexpr int kPlaces = 64;
  const Vec3 a = shift_along(member, r, 0), b = shift_along(member, r, r.length_mm);
  Sag sag;
  for (int i = 1; i < kPlaces; ++i) {
    const double t = static_cast<double>(i) / kPlaces;
    const Vec3 at = shift_along(member, r, t * r.length_mm);
    const double y = at[1] - (a[1] + (b[1] - a[1]) * t), z = at[2] - (a[2] + (b[2] - a[2]) * t);
    if (std::abs(y) > std::abs(sag.y_mm)) sag.y_mm = y;
    if (std::abs(z) > std::abs(sag.z_mm)) sag.z_mm = z;
  }
  return sag;
}

}  // namespace garthwright::frame
