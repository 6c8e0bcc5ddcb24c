// SPDX-License-Identifier: Apache-2.0
#include "assembly/access.h"

#include <algorithm>
#include <limits>

#include "assembly/separation.h"
#include "base/patience.h"

namespace garthwright::assembly {
namespace {

/// Reach of a box towards a direction: exact for the bounds, and for a part when the direction is along an axis.
double reach_of(const Bounds& b, Vec3 way) {
  double sum = 0;
  for (int k = 0; k < 3; ++k) sum += way[k] * (way[k] > 0 ? b.hi[k] : b.lo[k]);
  return sum;
}

bool along_an_axis(Vec3 a) { return (a.x != 0) + (a.y != 0) + (a.z != 0) == 1; }

bool any_overlap(const std::vector<ConvexPart>& tools, const std::vector<ConvexPart>& parts, double touch) {
  return std::any_of(tools.begin(), tools.end(), [&](const ConvexPart& t) {
    return std::any_of(parts.begin(), parts.end(), [&](const ConvexPart& p) { return overlap(t, p, touch); });
  });
}

}  // namespace

ConvexPart solid_of(const ToolRoom& room) {
  const Vec3 out = unit(room.out);
  // One side of the square stays level where it can: a tool held at a slant is turned about its own length.
  const Vec3 helper = out.x == 0 ? Vec3{1, 0, 0} : out.y == 0 ? Vec3{0, 1, 0} : Vec3{0, 0, 1};
  const Vec3 u = unit(cross(out, helper)), v = cross(out, u);
  const double r = room.half_width;
  if (along_an_axis(out)) {
    const Vec3 a = room.head - r * u - r * v, b = room.head + r * u + r * v + room.length * out;
    return *make_box({std::min(a.x, b.x), std::min(a.y, b.y), std::min(a.z, b.z)},
                     {std::max(a.x, b.x), std::max(a.y, b.y), std::max(a.z, b.z)});
  }
  return *make_oblique_box(room.head - r * u - r * v, {(2 * r) * u, (2 * r) * v, room.length * out});
}

Access::Access(const Assembly& assembly) : touch_(assembly.touch) {
  const int n = static_cast<int>(assembly.pieces.size());
  for (const Piece& piece : assembly.pieces) {
    pieces_.push_back(&piece);
    bounds_.push_back(bounds_of(piece.parts));
  }
  const std::vector<ConvexPart> site = solids_of(assembly.site);
  for (const Fastener& fastener : assembly.fasteners) {
    look_at_the_clock();
    std::vector<ConvexPart> tools;
    for (const ToolRoom& room : fastener.rooms) tools.push_back(solid_of(room));
    PieceSet joined(n), in_way(n);
    for (int i : fastener.joins) joined.insert(i);
    for (int i = 0; i < n; ++i) {
      if (any_overlap(tools, assembly.pieces[i].parts, touch_)) in_way.insert(i);
    }
    joined_.push_back(joined);
    in_way_.push_back(in_way);
    site_in_way_.push_back(any_overlap(tools, site, touch_));
    tools_.push_back(std::move(tools));
  }
}

double Access::reach(int piece, Vec3 down) const {
  if (along_an_axis(down)) return reach_of(bounds_[piece], down);
  double most = -std::numeric_limits<double>::infinity();
  for (const ConvexPart& part : pieces_[piece]->parts) most = std::max(most, extent(part, down).second);
  return most;
}

double Access::floor_level(const PieceSet& present, Vec3 down) const {
  double level = -std::numeric_limits<double>::infinity();
  present.for_each([&](int i) { level = std::max(level, reach(i, down)); });
  return level;
}

Fit Access::fit(int fastener, const PieceSet& present, Vec3 down, bool on_site) const {
  if (!joined_[fastener].within(present)) return Fit::piece_missing;
  if (in_way_[fastener].meets(present)) return Fit::piece_in_way;
  if (on_site && site_in_way_[fastener]) return Fit::site_in_way;
  const double level = floor_level(present, down) + touch_;
  const bool below = std::any_of(tools_[fastener].begin(), tools_[fastener].end(),
                                 [&](const ConvexPart& t) { return extent(t, down).second > level; });
  return below ? Fit::below_floor : Fit::fits;
}

}  // namespace garthwright::assembly
