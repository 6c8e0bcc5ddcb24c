// SPDX-License-Identifier: Apache-2.0
#include "assembly/separation.h"

#include <algorithm>
#include <limits>

namespace garthwright::assembly {
namespace {

constexpr double kInfinity = std::numeric_limits<double>::infinity();
constexpr double kParallel = 1e-9;

void add_slab(Difference& slabs, Vec3 axis, const ConvexPart& moving, const ConvexPart& still) {
  const bool known =
      std::any_of(slabs.begin(), slabs.end(), [&](const Slab& s) { return std::abs(dot(s.axis, axis)) > 1 - 1e-12; });
  if (known) return;
  const auto [moving_lo, moving_hi] = extent(moving, axis);
  const auto [still_lo, still_hi] = extent(still, axis);
  slabs.push_back({axis, still_lo - moving_hi, still_hi - moving_lo});
}

}  // namespace

Difference difference(const ConvexPart& moving, const ConvexPart& still) {
  Difference slabs;
  if (moving.is_aligned_box && still.is_aligned_box) {
    const Vec3 lo = still.box.min - moving.box.max, hi = still.box.max - moving.box.min;
    return {{{1, 0, 0}, lo.x, hi.x}, {{0, 1, 0}, lo.y, hi.y}, {{0, 0, 1}, lo.z, hi.z}};
  }
  for (const Vec3& axis : moving.face_axes) add_slab(slabs, axis, moving, still);
  for (const Vec3& axis : still.face_axes) add_slab(slabs, axis, moving, still);
  for (const Vec3& a : moving.edge_axes) {
    for (const Vec3& b : still.edge_axes) {
      const Vec3 axis = cross(a, b);
      if (norm(axis) > kParallel) add_slab(slabs, unit(axis), moving, still);
    }
  }
  return slabs;
}

std::optional<Stretch> clash(std::span<const Slab> difference, Vec3 origin, Vec3 way, double touch) {
  Stretch stretch{-kInfinity, kInfinity};
  const double still = kParallel * norm(way);
  for (const Slab& slab : difference) {
    const double at = dot(slab.axis, origin), speed = dot(slab.axis, way);
    const double lo = slab.lo + touch - at, hi = slab.hi - touch - at;
    if (std::abs(speed) <= still) {
      if (lo >= 0 || hi <= 0) return std::nullopt;
      continue;
    }
    stretch.from = std::max(stretch.from, (speed > 0 ? lo : hi) / speed);
    stretch.to = std::min(stretch.to, (speed > 0 ? hi : lo) / speed);
    if (stretch.from >= stretch.to) return std::nullopt;
  }
  return stretch;
}

bool overlap(const ConvexPart& a, const ConvexPart& b, double touch) {
  for (int k = 0; k < 3; ++k) {
    if (a.box.max[k] - b.box.min[k] <= touch || b.box.max[k] - a.box.min[k] <= touch) return false;
  }
  if (a.is_aligned_box && b.is_aligned_box) return true;
  const Difference slabs = difference(a, b);
  return std::all_of(slabs.begin(), slabs.end(), [&](const Slab& s) { return s.lo + touch < 0 && s.hi - touch > 0; });
}

std::vector<Vec3> contact_normals(const ConvexPart& moving, const ConvexPart& still, double touch) {
  for (int k = 0; k < 3; ++k) {
    if (still.box.min[k] - moving.box.max[k] > touch || moving.box.min[k] - still.box.max[k] > touch) return {};
  }
  std::vector<Vec3> normals;
  for (const Slab& s : difference(moving, still)) {
    if (s.lo > touch || s.hi < -touch) return {};
    if (s.hi <= touch) normals.push_back(s.axis);
    if (s.lo >= -touch) normals.push_back(-s.axis);
  }
  return normals;
}

}  // namespace garthwright::assembly
