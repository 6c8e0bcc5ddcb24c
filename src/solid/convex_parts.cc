// SPDX-License-Identifier: Apache-2.0
#include "solid/convex_parts.h"

#include <cmath>
#include <limits>
#include <numeric>

namespace garthwright::solid {
namespace {

constexpr double kThin = 1e-7;  // mm

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

struct Reach {
  double low = std::numeric_limits<double>::infinity(), high = -low;
};

Reach reach(const ConvexPart& part, Vec3 axis) {
  Reach r;
  for (const Vec3& v : part.vertices) {
    const double d = dot(axis, v);
    r.low = std::min(r.low, d);
    r.high = std::max(r.high, d);
  }
  return r;
}

double common_depth(const ConvexPart& a, const ConvexPart& b, Vec3 axis) {
  const Reach ra = reach(a, axis), rb = reach(b, axis);
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
  for (const auto& face : part.faces) {
    for (std::size_t k = 0; k < face.size(); ++k) {
      const Vec3 along = at(part, face[(k + 1) % face.size()]) - at(part, face[k]);
      if (norm(along) < kThin) continue;
      const Vec3 way = unit(along);
      bool known = false;
      for (const Vec3& w : part.edge_ways) known = known || std::abs(dot(w, way)) > 1 - 1e-12;
      if (!known) part.edge_ways.push_back(way);
    }
  }
  if (!part.vertices.empty()) part.box = box_around(part.vertices);
  return part;
}

ConvexPart box_part(const Box& b) {
  const Vec3 l = b.min, h = b.max;
  return convex_part(
      {l, {h.x, l.y, l.z}, {h.x, h.y, l.z}, {l.x, h.y, l.z}, {l.x, l.y, h.z}, {h.x, l.y, h.z}, h, {l.x, h.y, h.z}},
      {{0, 3, 2, 1}, {4, 5, 6, 7}, {0, 1, 5, 4}, {1, 2, 6, 5}, {2, 3, 7, 6}, {3, 0, 4, 7}}, false);
}

ConvexPart placed(const ConvexPart& part, const Frame& frame) {
  ConvexPart moved = part;
  for (Vec3& v : moved.vertices) v = frame.to_world(v);
  for (Plane& plane : moved.planes) {
    const double offset = plane.offset;
    plane.normal = frame.direction_to_world(plane.normal);
    plane.offset = offset + dot(plane.normal, frame.origin);
  }
  for (Vec3& way : moved.edge_ways) way = frame.direction_to_world(way);
  if (!moved.vertices.empty()) moved.box = box_around(moved.vertices);
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

std::optional<ConvexPart> common(const ConvexPart& a, const ConvexPart& b) {
  std::optional<ConvexPart> rest = a;
  for (const Plane& plane : b.planes) {
    rest = clipped(*rest, plane);
    if (!rest) return std::nullopt;
  }
  return rest;
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
  for (const Vec3& u : a.edge_ways) {
    for (const Vec3& v : b.edge_ways) {
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
