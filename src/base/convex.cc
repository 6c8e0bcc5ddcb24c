// SPDX-License-Identifier: Apache-2.0
#include "base/convex.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace garthwright {
namespace {

constexpr double kThin = 1e-7;      // mm
constexpr double kParallel = 1e-9;  // sine of the angle below which two axes are one

Vec3 at(const ConvexPart& part, int vertex) { return part.vertices[static_cast<std::size_t>(vertex)]; }

// Twice the face's area along its outward normal (Newell).
Vec3 face_vector(const std::vector<Vec3>& vertices, const std::vector<int>& face) {
  Vec3 sum;
  const Vec3 origin = vertices[static_cast<std::size_t>(face[0])];
  for (std::size_t k = 1; k + 1 < face.size(); ++k) {
    sum = sum + cross(vertices[static_cast<std::size_t>(face[k])] - origin,
                      vertices[static_cast<std::size_t>(face[k + 1])] - origin);
  }
  return sum;
}

Box box_around(const std::vector<Vec3>& points) {
  Box box{points.front(), points.front()};
  for (const Vec3& p : points) box = enclosing(box, {p, p});
  return box;
}

void add_axis(std::vector<Vec3>& axes, Vec3 axis) {
  const bool known = std::any_of(axes.begin(), axes.end(), [&](Vec3 a) { return norm(cross(a, axis)) < kParallel; });
  if (!known) axes.push_back(axis);
}

bool is_aligned_box(const ConvexPart& part) {
  return part.face_axes.size() == 3 && std::all_of(part.face_axes.begin(), part.face_axes.end(),
                                                   [](Vec3 a) { return (a.x != 0) + (a.y != 0) + (a.z != 0) == 1; });
}

}  // namespace

ConvexPart convex_part(std::vector<Vec3> vertices, std::vector<std::vector<int>> faces, bool curved) {
  ConvexPart part;
  part.curved = curved;
  part.vertices = std::move(vertices);
  for (auto& face : faces) {
    if (face.size() < 3) continue;
    const Vec3 twice = face_vector(part.vertices, face);
    if (norm(twice) < 2e-9) continue;
    const Vec3 normal = unit(twice);
    double offset = 0;
    for (int v : face) offset += dot(normal, at(part, v));
    part.planes.push_back({normal, offset / static_cast<double>(face.size())});
    part.faces.push_back(std::move(face));
  }
  for (const Plane& plane : part.planes) add_axis(part.face_axes, plane.normal);
  for (const auto& face : part.faces)
    for (std::size_t k = 0; k < face.size(); ++k) {
      const Vec3 along = at(part, face[(k + 1) % face.size()]) - at(part, face[k]);
      if (norm(along) > kThin) add_axis(part.edge_axes, unit(along));
    }
  part.is_aligned_box = is_aligned_box(part);
  if (!part.vertices.empty()) part.box = box_around(part.vertices);
  return part;
}

ConvexPart box_part(const Box& b) {
  const Vec3 l = b.min, h = b.max;
  return convex_part(
      {l, {h.x, l.y, l.z}, {h.x, h.y, l.z}, {l.x, h.y, l.z}, {l.x, l.y, h.z}, {h.x, l.y, h.z}, h, {l.x, h.y, h.z}},
      {{0, 3, 2, 1}, {4, 5, 6, 7}, {0, 1, 5, 4}, {1, 2, 6, 5}, {2, 3, 7, 6}, {3, 0, 4, 7}});
}

ConvexPart placed(const ConvexPart& part, const Frame& frame) {
  ConvexPart moved = part;
  for (Vec3& v : moved.vertices) v = frame.to_world(v);
  for (Plane& plane : moved.planes) {
    const double offset = plane.offset;
    plane.normal = frame.direction_to_world(plane.normal);
    plane.offset = offset + dot(plane.normal, frame.origin);
  }
  for (std::vector<Vec3>* axes : {&moved.face_axes, &moved.edge_axes})
    for (Vec3& axis : *axes) axis = frame.direction_to_world(axis);
  if (!moved.vertices.empty()) moved.box = box_around(moved.vertices);
  moved.is_aligned_box = is_aligned_box(moved);
  return moved;
}

ConvexPart shifted(const ConvexPart& part, Vec3 by) {
  ConvexPart moved = part;
  for (Vec3& v : moved.vertices) v += by;
  for (Plane& plane : moved.planes) plane.offset += dot(plane.normal, by);
  moved.box = {part.box.min + by, part.box.max + by};
  return moved;
}

double volume(const ConvexPart& part) {
  if (part.vertices.empty()) return 0;
  const Vec3 origin = part.vertices.front();
  double six = 0;
  for (const auto& face : part.faces) six += dot(face_vector(part.vertices, face), at(part, face[0]) - origin);
  return six / 6;
}

Vec3 first_moment(const ConvexPart& part) {
  if (part.vertices.empty()) return {};
  const Vec3 origin = part.vertices.front();
  Vec3 sum;
  for (const auto& face : part.faces) {
    for (std::size_t k = 1; k + 1 < face.size(); ++k) {
      const Vec3 a = at(part, face[0]) - origin, b = at(part, face[k]) - origin, c = at(part, face[k + 1]) - origin;
      const double v = dot(a, cross(b, c)) / 6;
      sum = sum + v * (origin + 0.25 * (a + b + c));
    }
  }
  return sum;
}

Vec3 centroid(const ConvexPart& part) { return (1 / volume(part)) * first_moment(part); }

std::optional<ConvexPart> clipped(const ConvexPart& part, const Plane& plane) {
  std::vector<double> height;
  height.reserve(part.vertices.size());
  double lowest = 0, highest = 0;
  for (const Vec3& v : part.vertices) {
    double h = height_above(plane, v);
    if (std::abs(h) < kThin) h = 0;
    lowest = std::min(lowest, h);
    highest = std::max(highest, h);
    height.push_back(h);
  }
  if (lowest == 0) return std::nullopt;
  if (highest == 0) return part;

  std::vector<Vec3> vertices;
  std::vector<int> renamed(part.vertices.size(), -1);
  std::vector<std::array<int, 3>> crossings;  // edge (low, high) and its new vertex
  const auto keep = [&](int v) {
    int& name = renamed[static_cast<std::size_t>(v)];
    if (name < 0) {
      name = static_cast<int>(vertices.size());
      vertices.push_back(at(part, v));
    }
    return name;
  };
  const auto crossing = [&](int below, int above) {
    for (const auto& c : crossings) {
      if (c[0] == below && c[1] == above) return c[2];
    }
    const double b = height[static_cast<std::size_t>(below)], a = height[static_cast<std::size_t>(above)];
    const int name = static_cast<int>(vertices.size());
    vertices.push_back(at(part, below) + (b / (b - a)) * (at(part, above) - at(part, below)));
    crossings.push_back({below, above, name});
    return name;
  };

  std::vector<std::vector<int>> faces;
  std::vector<std::array<int, 2>> rim;  // edges of the new face, as the old faces run them
  for (const auto& face : part.faces) {
    std::vector<int> kept;
    int leaves = -1, enters = -1;
    for (std::size_t k = 0; k < face.size(); ++k) {
      const int here = face[k], next = face[(k + 1) % face.size()];
      const double h = height[static_cast<std::size_t>(here)], n = height[static_cast<std::size_t>(next)];
      if (h <= 0) kept.push_back(keep(here));
      if (h < 0 && n > 0) kept.push_back(leaves = crossing(here, next));
      if (h > 0 && n < 0) kept.push_back(enters = crossing(next, here));
      if (h == 0 && n > 0) leaves = keep(here);
      if (h > 0 && n == 0) enters = keep(next);
      if (h == 0 && n == 0) leaves = keep(here), enters = keep(next);
    }
    const bool below = [&] {
      for (int v : face) {
        if (height[static_cast<std::size_t>(v)] < 0) return true;
      }
      return false;
    }();
    if (!below) continue;
    if (leaves >= 0 && enters >= 0 && leaves != enters) rim.push_back({leaves, enters});
    if (kept.size() >= 3) faces.push_back(std::move(kept));
  }
  // The rim's edges, walked the other way round, bound the new face.
  std::vector<int> lid;
  if (!rim.empty()) {
    int v = rim.front()[1];
    for (std::size_t guard = 0; guard < rim.size(); ++guard) {
      lid.push_back(v);
      int next = -1;
      for (const auto& e : rim) {
        if (e[1] == v) next = e[0];
      }
      if (next < 0 || next == lid.front()) break;
      v = next;
    }
  }
  if (lid.size() >= 3) faces.push_back(std::move(lid));
  return convex_part(std::move(vertices), std::move(faces), part.curved);
}

std::optional<ConvexPart> common(const ConvexPart& a, const ConvexPart& b) {
  std::optional<ConvexPart> rest = a;
  for (const Plane& plane : b.planes) {
    rest = clipped(*rest, plane);
    if (!rest) return std::nullopt;
  }
  return rest;
}

Extent extent(const ConvexPart& part, Vec3 axis) {
  Extent r{std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity()};
  for (const Vec3& v : part.vertices) {
    const double d = dot(axis, v);
    r.low = std::min(r.low, d);
    r.high = std::max(r.high, d);
  }
  return r;
}

}  // namespace garthwright
