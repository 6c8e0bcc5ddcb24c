// SPDX-License-Identifier: Apache-2.0
#include "assembly/convex.h"

#include <algorithm>
#include <cstdlib>
#include <numeric>

namespace garthwright::assembly {
namespace {

constexpr double kSamePoint = 1e-7;  // mm

/// The solid with these vertices and outward loops; nothing when it is flat.
std::optional<ConvexPart> from_faces(std::vector<Vec3> vertices, std::vector<std::vector<int>> faces) {
  const std::size_t asked = faces.size();
  ConvexPart part = convex_part(std::move(vertices), std::move(faces));
  if (part.vertices.size() < 4 || asked < 4 || part.faces.size() < asked || !(volume(part) > 0)) return std::nullopt;
  return part;
}

/// The corners of the hull of points in one plane, counter-clockwise about `normal` (gift wrapping).
std::vector<int> corners_around(const std::vector<Vec3>& points, const std::vector<int>& flat, Vec3 normal) {
  // The farthest from any point is a corner.
  const auto farther = [&](int a, int b) {
    return norm(points[a] - points[flat[0]]) < norm(points[b] - points[flat[0]]);
  };
  const int first = *std::max_element(flat.begin(), flat.end(), farther);
  std::vector<int> loop;
  for (int at = first; loop.size() <= flat.size();) {
    loop.push_back(at);
    int next = -1;
    for (int i : flat) {
      if (i == at) continue;
      if (next < 0) {
        next = i;
        continue;
      }
      const Vec3 to_next = points[next] - points[at], to_i = points[i] - points[at];
      const double side = dot(cross(to_next, to_i), normal) / norm(to_next);
      // To the right of the edge so far, or straight on and farther.
      if (side < -kSamePoint || (side <= kSamePoint && dot(to_i, to_next) > dot(to_next, to_next))) next = i;
    }
    if (next == first || next < 0) break;
    at = next;
  }
  return loop;
}

int index_of(std::vector<Vec3>& points, Vec3 p) {
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (norm(points[i] - p) < kSamePoint) return static_cast<int>(i);
  }
  points.push_back(p);
  return static_cast<int>(points.size()) - 1;
}

double signed_area(const std::vector<std::array<double, 2>>& polygon) {
  double sum = 0;
  for (std::size_t i = 1; i + 1 < polygon.size(); ++i) {
    sum += (polygon[i][0] - polygon[0][0]) * (polygon[i + 1][1] - polygon[0][1]) -
           (polygon[i][1] - polygon[0][1]) * (polygon[i + 1][0] - polygon[0][0]);
  }
  return sum / 2;
}

/// Convex and turning once round, counter-clockwise; straight corners are dropped from it on the way.
bool make_strictly_convex(std::vector<std::array<double, 2>>& polygon) {
  std::vector<std::array<double, 2>> kept;
  const std::size_t n = polygon.size();
  double turned = 0;
  for (std::size_t i = 0; i < n; ++i) {
    const auto& a = polygon[(i + n - 1) % n];
    const auto& b = polygon[i];
    const auto& c = polygon[(i + 1) % n];
    const double ux = b[0] - a[0], uy = b[1] - a[1], vx = c[0] - b[0], vy = c[1] - b[1];
    const double lengths = std::hypot(ux, uy) * std::hypot(vx, vy);
    if (lengths == 0) return false;
    const double sine = (ux * vy - uy * vx) / lengths;
    if (sine < -1e-9) return false;
    turned += std::atan2(ux * vy - uy * vx, ux * vx + uy * vy);
    if (sine > 1e-9) kept.push_back(b);
  }
  polygon = std::move(kept);
  return polygon.size() >= 3 && std::abs(turned - 2 * std::acos(-1.0)) < 1e-6;
}

}  // namespace

std::optional<ConvexPart> make_box(Vec3 lo, Vec3 hi) {
  if (!(lo.x < hi.x && lo.y < hi.y && lo.z < hi.z)) return std::nullopt;
  return box_part({lo, hi});
}

std::optional<ConvexPart> make_prism(int axis, double from, double to, std::vector<std::array<double, 2>> polygon) {
  if (!(from < to) || polygon.size() < 3) return std::nullopt;
  if (signed_area(polygon) < 0) std::reverse(polygon.begin(), polygon.end());
  if (!make_strictly_convex(polygon)) return std::nullopt;
  const int u = axis == 0 ? 1 : 0, v = axis == 2 ? 1 : 2;
  const int n = static_cast<int>(polygon.size());
  std::vector<Vec3> vertices(2 * n);
  for (int i = 0; i < n; ++i) {
    for (int end = 0; end < 2; ++end) {
      Vec3& p = vertices[i + end * n];
      p[axis] = end ? to : from;
      p[u] = polygon[i][0];
      p[v] = polygon[i][1];
    }
  }
  std::vector<int> bottom(n), top(n);
  std::iota(top.begin(), top.end(), n);
  for (int i = 0; i < n; ++i) bottom[i] = n - 1 - i;
  std::vector<std::vector<int>> faces{bottom, top};
  for (int i = 0; i < n; ++i) faces.push_back({i, (i + 1) % n, (i + 1) % n + n, i + n});
  // The two other axes in x, y, z order are left-handed about y.
  if (axis == 1) {
    for (auto& loop : faces) std::reverse(loop.begin(), loop.end());
  }
  return from_faces(std::move(vertices), std::move(faces));
}

std::optional<ConvexPart> make_oblique_box(Vec3 corner, std::array<Vec3, 3> edges) {
  if (dot(cross(edges[0], edges[1]), edges[2]) < 0) std::swap(edges[0], edges[1]);
  std::vector<Vec3> corners;
  for (int i = 0; i < 8; ++i) {
    Vec3 p = corner;
    for (int k = 0; k < 3; ++k) {
      if (i >> k & 1) p += edges[k];
    }
    corners.push_back(p);
  }
  return from_faces(std::move(corners),
                    {{0, 4, 6, 2}, {1, 3, 7, 5}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 2, 3, 1}, {4, 5, 7, 6}});
}

std::optional<ConvexPart> make_hull(const std::vector<Vec3>& points) {
  std::vector<Vec3> distinct;
  for (const Vec3& p : points) index_of(distinct, p);
  const int n = static_cast<int>(distinct.size());
  std::vector<Plane> found;
  std::vector<std::vector<int>> faces;
  for (int a = 0; a < n; ++a) {
    for (int b = a + 1; b < n; ++b) {
      for (int c = b + 1; c < n; ++c) {
        Vec3 normal = cross(distinct[b] - distinct[a], distinct[c] - distinct[a]);
        if (norm(normal) < kSamePoint) continue;
        normal = unit(normal);
        for (int side = 0; side < 2; ++side, normal = -normal) {
          const double offset = dot(normal, distinct[a]);
          std::vector<int> on;
          bool supports = true;
          for (int i = 0; i < n && supports; ++i) {
            const double over = dot(normal, distinct[i]) - offset;
            supports = over < kSamePoint;
            if (std::abs(over) < kSamePoint) on.push_back(i);
          }
          if (!supports) continue;
          const bool known =
              std::any_of(found.begin(), found.end(), [&](const Plane& p) { return norm(p.normal - normal) < 1e-8; });
          if (known) continue;
          found.push_back({normal, offset});
          faces.push_back(corners_around(distinct, on, normal));
        }
      }
    }
  }
  // Points that are no corner of any face are left behind.
  std::vector<Vec3> corners;
  for (auto& loop : faces) {
    if (loop.size() < 3) return std::nullopt;
    for (int& i : loop) i = index_of(corners, distinct[i]);
  }
  return from_faces(std::move(corners), std::move(faces));
}

Box box_around(const std::vector<ConvexPart>& parts) {
  Box box = parts.at(0).box;
  for (const ConvexPart& part : parts) box = enclosing(box, part.box);
  return box;
}

std::vector<ConvexPart> without_overlaps(const std::vector<ConvexPart>& parts) {
  std::vector<ConvexPart> apart;
  for (const ConvexPart& part : parts) {
    std::vector<ConvexPart> left{part};
    const std::size_t earlier = apart.size();
    for (std::size_t e = 0; e < earlier; ++e) {
      // What is left of `part` outside apart[e]: peel it off plane by plane.
      std::vector<ConvexPart> outside;
      for (ConvexPart& fragment : left) {
        std::optional<ConvexPart> core = common(fragment, apart[e]);
        if (!core) {
          outside.push_back(std::move(fragment));
          continue;
        }
        core = fragment;
        for (const Plane& plane : apart[e].planes) {
          if (auto beyond = clipped(*core, {-plane.normal, -plane.offset})) outside.push_back(std::move(*beyond));
          core = clipped(*core, plane);
          if (!core) break;
        }
      }
      left = std::move(outside);
    }
    apart.insert(apart.end(), left.begin(), left.end());
  }
  return apart;
}

}  // namespace garthwright::assembly
