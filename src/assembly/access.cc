// SPDX-License-Identifier: Apache-2.0
#include "assembly/access.h"

#include <algorithm>
#include <array>
#include <limits>
#include <map>

#include "assembly/separation.h"
#include "base/patience.h"

namespace garthwright::assembly {
namespace {

/// Reach of a box towards a direction: exact for the bounds, and for a part when the direction is along an axis.
double reach_of(const Box& b, Vec3 way) {
  double sum = 0;
  for (int k = 0; k < 3; ++k) sum += way[k] * (way[k] > 0 ? b.max[k] : b.min[k]);
  return sum;
}

bool along_an_axis(Vec3 a) { return (a.x != 0) + (a.y != 0) + (a.z != 0) == 1; }

bool any_overlap(const ConvexPart& tool, const std::vector<ConvexPart>& parts, double touch) {
  return std::any_of(parts.begin(), parts.end(), [&](const ConvexPart& p) { return overlap(tool, p, touch); });
}

bool apart(const Box& a, const Box& b, double touch) {
  for (int k = 0; k < 3; ++k)
    if (a.max[k] - b.min[k] <= touch || b.max[k] - a.min[k] <= touch) return true;
  return false;
}

using RoomKey = std::array<double, 8>;
RoomKey key_of(const ToolRoom& r) {
  return {r.head.x, r.head.y, r.head.z, r.out.x, r.out.y, r.out.z, r.half_width, r.length};
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
    boxes_.push_back(box_around(piece.parts));
  }
  const std::vector<ConvexPart> site = solids_of(assembly.site);
  // A fixing that takes a tool in several places is a fastener for every set of tools: their rooms come again and
  // again.
  std::map<RoomKey, int> known;
  std::vector<PieceSet> in_way_of_room;
  std::vector<char> site_in_way_of_room;
  const auto looked_at = [&](const ToolRoom& room) {
    const auto [at, is_new] = known.try_emplace(key_of(room), static_cast<int>(rooms_.size()));
    if (!is_new) return at->second;
    const ConvexPart tool = solid_of(room);
    PieceSet in_way(n);
    for (int i = 0; i < n; ++i)
      if (!apart(tool.box, boxes_[i], touch_) && any_overlap(tool, assembly.pieces[i].parts, touch_)) in_way.insert(i);
    in_way_of_room.push_back(std::move(in_way));
    site_in_way_of_room.push_back(any_overlap(tool, site, touch_));
    rooms_.push_back(tool);
    return at->second;
  };
  for (const Fastener& fastener : assembly.fasteners) {
    look_at_the_clock();
    PieceSet joined(n), in_way(n);
    for (int i : fastener.joins) joined.insert(i);
    std::vector<int> rooms;
    char site_in_way = 0;
    for (const ToolRoom& room : fastener.rooms) {
      rooms.push_back(looked_at(room));
      const auto at = static_cast<std::size_t>(rooms.back());
      in_way |= in_way_of_room[at];
      site_in_way |= site_in_way_of_room[at];
    }
    joined_.push_back(std::move(joined));
    in_way_.push_back(std::move(in_way));
    site_in_way_.push_back(site_in_way);
    rooms_of_.push_back(std::move(rooms));
  }
}

double Access::reach(int piece, Vec3 down) const {
  if (along_an_axis(down)) return reach_of(boxes_[piece], down);
  double most = -std::numeric_limits<double>::infinity();
  for (const ConvexPart& part : pieces_[piece]->parts) most = std::max(most, extent(part, down).high);
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
  const bool below = std::any_of(rooms_of_[fastener].begin(), rooms_of_[fastener].end(), [&](int room) {
    return extent(rooms_[static_cast<std::size_t>(room)], down).high > level;
  });
  return below ? Fit::below_floor : Fit::fits;
}

}  // namespace garthwright::assembly
