// SPDX-License-Identifier: Apache-2.0
#include "solid/convex_parts.h"

#include <cmath>
#include <limits>
#include <numeric>

namespace garthwright::solid {
namespace {

constexpr double kThin = 1e-7;  // mm

Vec3 at(const ConvexPart& part, int vertex) { return part.vertices[static_cast<std::size_t>(vertex)]; }

double common_depth(const ConvexPart& a, const ConvexPart& b, Vec3 axis) {
  const Extent ra = extent(a, axis), rb = extent(b, axis);
  return std::min(ra.high - rb.low, rb.high - ra.low);
}

void clip_polygon(std::vector<Vec3>& polygon, const Plane& plane) {
  std::vector<Vec3> kept;
  kept.reserve(polygon.size() + 1);
  for (std::size_t k = 0; k < polygon.size(); ++k) {
    const Vec3 here = polygon[k], next = polygon[(k + 1) % polygon.size()];
    const double h = height_above(plane, here), n = height_above(plane, next);
    if (h <= 0) kept.push_back(here);
    if ((h < 0 && n > 0) || (h > 0 && n < 0)) kept.push_back(here + (h / (h - n)) * (next - here));
  }
  polygon = std::move(kept);
}

}  // namespace

std::vector<ConvexPart> without(const ConvexPart& part, std::span<const Plane> waste) {
  std::optional<ConvexPart> rest = part;
  for (const Plane& plane : waste) {
    rest = clipped(*rest, plane);
    if (!rest) return {part};  // clear of the waste: nothing to cut
  }
  std::vector<ConvexPart> kept;
  rest = part;
  for (const Plane& plane : waste) {
    if (auto outside = clipped(*rest, {-plane.normal, -plane.offset})) kept.push_back(std::move(*outside));
    rest = clipped(*rest, plane);
    if (!rest) break;
  }
  return kept;
}

double penetration(const ConvexPart& a, const ConvexPart& b, double enough) {
  double least = std::numeric_limits<double>::infinity();
  const auto clear_along = [&](Vec3 axis) {
    least = std::min(least, common_depth(a, b, axis));
    return least < -enough;
  };
  for (const Plane& plane : a.planes) {
    if (clear_along(plane.normal)) return least;
  }
  for (const Plane& plane : b.planes) {
    if (clear_along(plane.normal)) return least;
  }
  for (const Vec3& u : a.edge_axes) {
    for (const Vec3& v : b.edge_axes) {
      const Vec3 axis = cross(u, v);
      const double size = norm(axis);
      if (size > 1e-6 && clear_along((1 / size) * axis)) return least;
    }
  }
  return least;
}

std::optional<FaceOverlap> face_overlap(const ConvexPart& a, int face_a, const ConvexPart& b, int face_b, double gap) {
  const Plane &pa = a.planes[static_cast<std::size_t>(face_a)], &pb = b.planes[static_cast<std::size_t>(face_b)];
  if (dot(pa.normal, pb.normal) > -0.9999) return std::nullopt;
  const auto &loop_a = a.faces[static_cast<std::size_t>(face_a)], &loop_b = b.faces[static_cast<std::size_t>(face_b)];
  if (std::abs(height_above(pb, at(a, loop_a[0]))) > gap && std::abs(height_above(pa, at(b, loop_b[0]))) > gap &&
      dot(pa.normal, pb.normal) < -1 + 1e-12) {
    return std::nullopt;
  }
  std::vector<Vec3> polygon;
  polygon.reserve(loop_a.size() + loop_b.size());
  for (int v : loop_a) polygon.push_back(at(a, v));
  for (std::size_t k = 0; k < loop_b.size() && polygon.size() >= 3; ++k) {
    const Vec3 from = at(b, loop_b[k]), along = at(b, loop_b[(k + 1) % loop_b.size()]) - from;
    const double length = norm(along);
    if (length < kThin) continue;
    const Vec3 outwards = cross((1 / length) * along, pb.normal);
    clip_polygon(polygon, {outwards, dot(outwards, from)});
  }
  if (polygon.size() < 3) return std::nullopt;
  for (const Vec3& p : polygon) {
    if (std::abs(height_above(pb, p)) > gap) return std::nullopt;
  }
  FaceOverlap overlap;
  for (std::size_t k = 1; k + 1 < polygon.size(); ++k) {
    const double area = norm(cross(polygon[k] - polygon[0], polygon[k + 1] - polygon[0])) / 2;
    overlap.area += area;
    overlap.moment = overlap.moment + (area / 3) * (polygon[0] + polygon[k] + polygon[k + 1]);
  }
  return overlap;
}

int count_bodies(const std::vector<ConvexPart>& parts) {
  std::vector<std::size_t> leader(parts.size());
  std::iota(leader.begin(), leader.end(), std::size_t{0});
  const auto find = [&](std::size_t i) {
    while (leader[i] != i) i = leader[i];
    return i;
  };
  constexpr double kNear = 1e-3;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    for (std::size_t j = i + 1; j < parts.size(); ++j) {
      if (find(i) == find(j) || !overlaps(parts[i].box, parts[j].box, -kNear)) continue;
      double area = 0;
      for (std::size_t f = 0; f < parts[i].faces.size(); ++f) {
        for (std::size_t g = 0; g < parts[j].faces.size(); ++g) {
          const auto o = face_overlap(parts[i], static_cast<int>(f), parts[j], static_cast<int>(g), kNear);
          if (o) area += o->area;
        }
      }
      if (area >= 0.01) leader[find(j)] = find(i);
    }
  }
  int bodies = 0;
  for (std::size_t i = 0; i < parts.size(); ++i) bodies += find(i) == i ? 1 : 0;
  return bodies;
}

}  // namespace garthwright::solid
