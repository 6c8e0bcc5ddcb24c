// SPDX-License-Identifier: Apache-2.0
#include "assembly/directions.h"

#include <algorithm>
#include <array>
#include <numeric>

namespace garthwright::assembly {
namespace {

constexpr std::string_view kAxisNames = "xyz";

Ways with_opposites(const std::vector<Vec3>& half) {
  Ways ways;
  for (const Vec3& w : half) {
    ways.push_back(w);
    ways.push_back(-w);
  }
  return ways;
}

bool same_line(Vec3 a, Vec3 b) { return norm(cross(unit(a), unit(b))) < 1e-9; }

}  // namespace

const Ways& axis_ways() {
  static const Ways ways = with_opposites({{1, 0, 0}, {0, 1, 0}, {0, 0, 1}});
  return ways;
}

const Ways& diagonal_ways() {
  static const Ways ways = with_opposites({{1, 0, 0},
                                           {0, 1, 0},
                                           {0, 0, 1},
                                           {1, 1, 0},
                                           {1, -1, 0},
                                           {1, 0, 1},
                                           {1, 0, -1},
                                           {0, 1, 1},
                                           {0, 1, -1},
                                           {1, 1, 1},
                                           {1, 1, -1},
                                           {1, -1, 1},
                                           {1, -1, -1}});
  return ways;
}

std::optional<std::string> name_of(Vec3 way) {
  std::string name;
  for (int k = 0; k < 3; ++k) {
    if (way[k] != 0 && way[k] != 1 && way[k] != -1) return std::nullopt;
    if (way[k] != 0) name += std::string(way[k] > 0 ? "+" : "-") + kAxisNames[k];
  }
  if (name.empty()) return std::nullopt;
  return name;
}

std::optional<Vec3> way_named(std::string_view name) {
  if (name.empty() || name.size() % 2) return std::nullopt;
  Vec3 way;
  for (std::size_t i = 0; i < name.size(); i += 2) {
    const auto axis = kAxisNames.find(name[i + 1]);
    if ((name[i] != '+' && name[i] != '-') || axis == std::string_view::npos || way[axis] != 0) return std::nullopt;
    way[axis] = name[i] == '+' ? 1 : -1;
  }
  return way;
}

void add_way(Ways& ways, Vec3 way) {
  if (std::any_of(ways.begin(), ways.end(), [&](Vec3 w) { return same_line(w, way); })) return;
  ways.push_back(way);
  ways.push_back(-way);
}

Vec3 with_whole_components(Vec3 way) {
  const double longest = std::max({std::abs(way.x), std::abs(way.y), std::abs(way.z)});
  for (int scale = 1; scale <= 2000; ++scale) {
    const Vec3 scaled = (scale / longest) * way;
    const Vec3 whole{std::round(scaled.x), std::round(scaled.y), std::round(scaled.z)};
    if (norm(scaled - whole) < 1e-9 * scale) return whole;
  }
  return way;
}

Ways candidate_ways(const Assembly& assembly, int most) {
  Ways ways = diagonal_ways();
  const auto room = [&] { return static_cast<int>(ways.size()) < most; };
  for (const Piece& piece : assembly.pieces) {
    for (const ConvexPart& part : piece.parts) {
      if (part.is_aligned_box) continue;
      for (const Vec3& edge : part.edge_axes) {
        if (room()) add_way(ways, with_whole_components(edge));
      }
    }
  }
  for (const Piece& piece : assembly.pieces) {
    std::vector<Vec3> faces;
    for (const ConvexPart& part : piece.parts) {
      for (const Vec3& f : part.face_axes) {
        if (std::none_of(faces.begin(), faces.end(), [&](Vec3 g) { return same_line(f, g); })) faces.push_back(f);
      }
    }
    for (std::size_t a = 0; a < faces.size(); ++a) {
      for (std::size_t b = 0; b < a; ++b) {
        if (room()) add_way(ways, with_whole_components(cross(faces[a], faces[b])));
      }
    }
  }
  return ways;
}

}  // namespace garthwright::assembly
