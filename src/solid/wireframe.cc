// SPDX-License-Identifier: Apache-2.0
#include <array>
#include <cmath>
#include <map>
#include <set>

#include "solid/hidden_lines.h"
#include "solid/kernel_calls.h"

namespace garthwright::solid {
namespace {

constexpr double kSharpTurn = 0.02;  // rad, about a degree

// Along a loop: the points of its chords, and which of them are corners.
void trace_loop(const Machined& made, const Loop& loop, Wireframe& wires) {
  const double low = made.blank.min[made.through], high = made.blank.max[made.through];
  struct Station {
    Point2 at;
    bool corner = false;
  };
  std::vector<Station> stations;
  for (std::size_t k = 0; k < loop.size(); ++k) {
    const OutlineEdge &e = loop[k], &before = loop[(k + loop.size() - 1) % loop.size()];
    const Point2 in = tangent_at(before, 1), out = tangent_at(e, 0);
    const bool corner = std::abs(std::atan2(cross(in, out), dot(in, out))) > kSharpTurn;
    const std::vector<Point2> points = sampled(e, kChord);
    for (std::size_t i = 0; i < points.size(); ++i) stations.push_back({points[i], i == 0 && corner});
    for (double depth : {low, high}) {
      std::vector<Vec3> line;
      for (const Point2& p : points) line.push_back(made.point(p, depth));
      line.push_back(made.point(e.to, depth));
      wires.edges.push_back(std::move(line));
    }
  }
  const std::size_t n = stations.size();
  const auto side = [&](std::size_t k) {
    const Point2 along = stations[(k + 1) % n].at - stations[k % n].at;
    return unit(made.point({along.q, -along.p}, 0));
  };
  for (std::size_t k = 0; k < n; ++k) {
    const Vec3 from = made.point(stations[k].at, low), to = made.point(stations[k].at, high);
    if (stations[k].corner) {
      wires.edges.push_back({from, to});
    } else if (n > 2) {
      wires.ribs.push_back({from, to, side(k + n - 1), side(k)});
    }
  }
}

// Of a body the kernel had to cut: its sharp edges, and the edges its triangles share elsewhere.
void trace_mesh(const Mesh& mesh, Wireframe& wires) {
  using Cell = std::array<long long, 3>;
  const auto cell = [](Vec3 p) {
    return Cell{std::llround(p.x * 1e4), std::llround(p.y * 1e4), std::llround(p.z * 1e4)};
  };
  const auto edge = [&](Vec3 a, Vec3 b) {
    const Cell one = cell(a), other = cell(b);
    return std::pair<Cell, Cell>(std::min(one, other), std::max(one, other));
  };
  std::set<std::pair<Cell, Cell>> sharp;
  for (const auto& line : mesh.edges) {
    for (std::size_t k = 0; k + 1 < line.size(); ++k) sharp.insert(edge(line[k], line[k + 1]));
  }
  std::map<std::pair<Cell, Cell>, Vec3> first_normal;
  for (const auto& t : mesh.triangles) {
    const Vec3 a = mesh.points[t[0]], b = mesh.points[t[1]], c = mesh.points[t[2]];
    const Vec3 twice = cross(b - a, c - a);
    if (norm(twice) < 1e-9) continue;
    const Vec3 normal = unit(twice);
    for (const auto& [from, to] : {std::pair{a, b}, std::pair{b, c}, std::pair{c, a}}) {
      const auto key = edge(from, to);
      if (sharp.contains(key)) continue;
      const auto [other, fresh] = first_normal.try_emplace(key, normal);
      if (!fresh && dot(other->second, normal) < 1 - 1e-9) wires.ribs.push_back({from, to, other->second, normal});
    }
  }
  wires.edges = mesh.edges;
}

}  // namespace

Wireframe wireframe(const Machined& machined) {
  Wireframe wires;
  wires.parts = machined.parts;
  if (machined.parts.empty()) return wires;
  if (machined.prism()) {
    for (const Patch& patch : machined.plate.outline) {
      trace_loop(machined, patch.rim, wires);
      for (const Loop& opening : patch.openings) trace_loop(machined, opening, wires);
    }
  } else {
    trace_mesh(kernel_mesh(*kernel_kept_shape(machined, false), kChord), wires);
  }
  return wires;
}

}  // namespace garthwright::solid
