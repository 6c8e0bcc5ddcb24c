// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "assembly/assembly.h"
#include "assembly/tilt.h"

namespace garthwright::assembly {
namespace {

using Corner = std::array<double, 2>;
using Corners = std::array<Corner, 4>;

Corners corners_of(const Rectangle& r) { return {{{r.y0, r.z0}, {r.y1, r.z0}, {r.y1, r.z1}, {r.y0, r.z1}}}; }

Corners posed(const Rectangle& panel, const Pose& pose) {
  const double a = pose.deg * std::numbers::pi / 180, c = std::cos(a), s = std::sin(a);
  const Corner pivot{(panel.y0 + panel.y1) / 2, panel.z1};
  Corners corners = corners_of(panel);
  for (Corner& p : corners) {
    const double y = p[0] - pivot[0], z = p[1] - pivot[1];
    p = {pivot[0] + pose.dy + c * y - s * z, pivot[1] + pose.dz + s * y + c * z};
  }
  return corners;
}

/// How far the second quadrangle is outside the best edge of the first; negative: it reaches over every edge.
double clearance_over_edges(const Corners& a, const Corners& b) {
  double best = -1e300;
  for (int i = 0; i < 4; ++i) {
    const Corner p = a[i], q = a[(i + 1) % 4];
    const double ey = q[0] - p[0], ez = q[1] - p[1], length = std::hypot(ey, ez);
    double nearest = 1e300;
    for (const Corner& v : b) nearest = std::min(nearest, ((v[0] - p[0]) * ez - (v[1] - p[1]) * ey) / length);
    best = std::max(best, nearest);
  }
  return best;
}

double clearance(const Corners& a, const Corners& b) {
  return std::max(clearance_over_edges(a, b), clearance_over_edges(b, a));
}

/// No corner moves faster than this along the leg, so no clearance changes faster.
double greatest_speed(const Section& section, const Pose& a, const Pose& b) {
  const double radius = std::hypot((section.panel.y1 - section.panel.y0) / 2, section.panel.z1 - section.panel.z0);
  // An edge of the panel seen from a far corner of the surroundings turns as fast as that corner is far.
  double far = radius;
  for (const Rectangle& r : section.still) {
    for (const Corner& c : corners_of(r)) {
      for (const Pose& p : {a, b}) {
        const Corners at = posed(section.panel, p);
        for (const Corner& q : at) far = std::max(far, std::hypot(c[0] - q[0], c[1] - q[1]) + radius);
      }
    }
  }
  return std::hypot(b.dy - a.dy, b.dz - a.dz) + std::abs(b.deg - a.deg) * std::numbers::pi / 180 * far;
}

/// Clear on the stretch [from, to] of the leg.
bool clear(const Section& section, const Rectangle& r, const Pose& a, const Pose& b, double from, double to,
           double speed) {
  const double t = (from + to) / 2;
  const Pose pose{a.dy + t * (b.dy - a.dy), a.dz + t * (b.dz - a.dz), a.deg + t * (b.deg - a.deg)};
  const double now = clearance(corners_of(r), posed(section.panel, pose));
  if (now < -kTouch) return false;
  if (now - speed * (to - from) / 2 >= -kTouch) return true;
  // Too close to call on ever finer stretches: an overlap of half the tolerance is refused.
  if (speed * (to - from) <= kTouch) return false;
  return clear(section, r, a, b, from, t, speed) && clear(section, r, a, b, t, to, speed);
}

}  // namespace

std::optional<std::string> fault_in_way_out(const Section& section, const std::vector<Pose>& way_out) {
  if (way_out.empty() || !(way_out.front() == Pose{})) return "does not start at rest";
  for (std::size_t k = 0; k + 1 < way_out.size(); ++k) {
    const double speed = greatest_speed(section, way_out[k], way_out[k + 1]);
    for (std::size_t r = 0; r < section.still.size(); ++r) {
      if (!clear(section, section.still[r], way_out[k], way_out[k + 1], 0, 1, speed)) {
        return fmt::format("leg {} runs into rectangle {}", k + 1, r + 1);
      }
    }
  }
  // Clear of everything to all four sides: apart from each rectangle both in y and in z.
  const Corners last = posed(section.panel, way_out.back());
  for (std::size_t r = 0; r < section.still.size(); ++r) {
    for (int k = 0; k < 2; ++k) {
      double lo = 1e300, hi = -1e300;
      for (const Corner& c : last) lo = std::min(lo, c[k]), hi = std::max(hi, c[k]);
      const Corners still = corners_of(section.still[r]);
      if (lo < still[2][k] - kTouch && hi > still[0][k] + kTouch) {
        return fmt::format("at the end rectangle {} still stands beside the panel", r + 1);
      }
    }
  }
  return std::nullopt;
}

}  // namespace garthwright::assembly
