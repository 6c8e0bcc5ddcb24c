// SPDX-License-Identifier: Apache-2.0
#include "assembly/standing.h"

#include <algorithm>
#include <array>
#include <limits>
#include <numbers>

namespace garthwright::assembly {
namespace {

using Point = std::array<double, 2>;

double turn(Point a, Point b, Point c) { return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]); }

/// Convex hull, counter-clockwise, without points on its edges (monotone chain, Andrew 1979).
std::vector<Point> hull(std::vector<Point> points) {
  std::sort(points.begin(), points.end());
  points.erase(std::unique(points.begin(), points.end()), points.end());
  if (points.size() < 3) return points;
  std::vector<Point> chain;
  for (int pass = 0; pass < 2; ++pass) {
    const std::size_t start = chain.size();
    for (const Point& p : points) {
      while (chain.size() >= start + 2 && turn(chain[chain.size() - 2], chain.back(), p) <= 0) chain.pop_back();
      chain.push_back(p);
    }
    chain.pop_back();
    std::reverse(points.begin(), points.end());
  }
  return chain;
}

double distance_to_segment(Point p, Point a, Point b) {
  const double ux = b[0] - a[0], uy = b[1] - a[1], length2 = ux * ux + uy * uy;
  double t = length2 > 0 ? ((p[0] - a[0]) * ux + (p[1] - a[1]) * uy) / length2 : 0;
  t = std::clamp(t, 0.0, 1.0);
  return std::hypot(p[0] - a[0] - t * ux, p[1] - a[1] - t * uy);
}

/// Distance from the edge, positive inside.
double depth_inside(Point p, const std::vector<Point>& polygon) {
  double nearest = std::numeric_limits<double>::infinity();
  bool inside = polygon.size() >= 3;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const Point a = polygon[i], b = polygon[(i + 1) % polygon.size()];
    nearest = std::min(nearest, distance_to_segment(p, a, b));
    inside = inside && turn(a, b, p) >= 0;
  }
  return inside ? nearest : -nearest;
}

}  // namespace

Standing standing(const std::vector<const Piece*>& pieces, Vec3 down, double touch) {
  const MassPoint whole = mass_point(pieces);
  double floor = -std::numeric_limits<double>::infinity();
  for (const Piece* piece : pieces) {
    for (const ConvexPart& part : piece->parts) floor = std::max(floor, extent(part, down).high);
  }
  const Vec3 helper = std::abs(down.x) < 0.5 ? Vec3{1, 0, 0} : Vec3{0, 1, 0};
  const Vec3 u = unit(cross(down, helper)), v = cross(down, u);
  const auto plan = [&](Vec3 p) { return Point{dot(p, u), dot(p, v)}; };
  std::vector<Point> feet;
  for (const Piece* piece : pieces) {
    for (const ConvexPart& part : piece->parts) {
      for (const Vec3& p : part.vertices) {
        if (dot(p, down) >= floor - touch) feet.push_back(plan(p));
      }
    }
  }
  Standing s;
  s.mass_kg = whole.kg;
  s.height_mm = floor - dot(whole.centre, down);
  s.margin_mm = depth_inside(plan(whole.centre), hull(std::move(feet)));
  s.tip_deg = std::atan2(s.margin_mm, s.height_mm) * 180 / std::numbers::pi;
  return s;
}

int persons_to_lift(double mass_kg, double share, double limit_kg) {
  return static_cast<int>(std::ceil(mass_kg * share / limit_kg - 1e-9));
}

}  // namespace garthwright::assembly
