// SPDX-License-Identifier: Apache-2.0
#include "structure/laying.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace garthwright {
namespace {

constexpr double kAlong = 0.05;  // cosine below which a cut runs along the timber instead of across it

Vec3 value(const std::array<Traced, 3>& point) { return {point[0].value(), point[1].value(), point[2].value()}; }

Vec3 turned(Vec3 v, double degrees) {
  return {v.x * cosd(degrees) - v.y * sind(degrees), v.x * sind(degrees) + v.y * cosd(degrees), v.z};
}

/// From one point to the other, with the sum it comes from.
Traced line_length(const std::array<Traced, 3>& from, const std::array<Traced, 3>& to, double length) {
  std::vector<Traced> runs;
  std::string formula;
  for (std::size_t i = 0; i < 3; ++i) {
    Traced run = to[i] - from[i];
    if (std::abs(run.value()) < 1e-9) continue;
    if (run.value() < 0) run = -run;
    formula += (formula.empty() ? "(" : " + (") + run.sum() + ")²";
    runs.push_back(std::move(run));
  }
  return runs.size() == 1 ? runs[0] : Traced::step("line", length, "√(" + formula + ")", runs);
}

/// How far along the timber the plane through a point of the line reaches, least and most, over its four edges.
struct Reach {
  double least = 0, most = 0;
};
Reach reach_of(const Frame& frame, Vec3 normal, const std::array<double, 2>& across,
               const std::array<double, 2>& through) {
  Reach reach{1e300, -1e300};
  const Vec3 local = frame.direction_to_local(normal);
  for (const double y : across)
    for (const double z : through) {
      const double s = -(y * local.y + z * local.z) / local.x;
      reach.least = std::min(reach.least, s), reach.most = std::max(reach.most, s);
    }
  return reach;
}

}  // namespace

Result<PieceId> lay(Structure& structure, const Laying& laying) {
  const std::string who = laying.where.empty() ? laying.name : laying.where + " " + laying.name;
  const Vec3 from = value(laying.from), to = value(laying.to);
  const double length = norm(to - from);
  if (!(length > 1e-6)) return fail("no-length", who + " has no length: it begins where it ends", "give two points");
  const double w = laying.width.value(), t = laying.thickness.value();

  Piece piece;
  piece.name = laying.name;
  piece.where = laying.where;
  piece.group = laying.group;
  piece.role = laying.role;
  piece.section = laying.section;
  piece.width = laying.width;
  piece.thickness = laying.thickness;

  Frame& frame = piece.frame;
  frame.x = (1 / length) * (to - from);
  const Vec3 wide = vector(laying.wide), off = wide - dot(wide, frame.x) * frame.x;
  if (norm(off) < 0.1)
    return fail("bad-placing", who + " runs and lies wide along the same axis", "give two ways at right angles");
  frame.y = unit(off);
  frame.y = cosd(laying.turn_deg) * frame.y + sind(laying.turn_deg) * cross(frame.x, frame.y);
  frame.z = cross(frame.x, frame.y);
  const double low_y = laying.edge == Laying::Edge::low ? 0 : laying.edge == Laying::Edge::middle ? -w / 2 : -w;
  double low_z = -t / 2;
  if (laying.lies) {
    const double side = dot(vector(*laying.lies), frame.z);
    if (std::abs(side) < kAlong)
      return fail("bad-placing", fmt::format("{} cannot lie {} of its line", who, name(*laying.lies)),
                  "give a way across its thickness");
    low_z = side > 0 ? 0 : -t;
  }

  Vec3 normals[2];  // out of the start and out of the finish
  for (const bool finish : {false, true}) {
    Vec3 n = frame.x;
    if (laying.ends == Laying::Ends::plumb) {
      n = {frame.x.x, frame.x.y, 0};
      if (norm(n) < kAlong)
        return fail("bad-placing", who + " stands upright and has no plumb ends",
                    "give ends = \"square\" or \"level\"");
      n = turned(unit(n), finish ? laying.to_turn_deg : laying.from_turn_deg);
    } else if (laying.ends == Laying::Ends::level) {
      n = {0, 0, frame.x.z < 0 ? -1.0 : 1.0};
    }
    if (dot(n, frame.x) < kAlong)
      return fail("bad-placing", who + " would be cut along instead of across", "turn its ends less");
    normals[finish ? 1 : 0] = finish ? n : -n;
  }
  const std::array<double, 2> across{low_y, low_y + w}, through{low_z, low_z + t};
  const double before = reach_of(frame, normals[0], across, through).least;
  const double beyond = reach_of(frame, normals[1], across, through).most;

  piece.length = line_length(laying.from, laying.to, length);
  if (beyond - before > 1e-9) piece.length = piece.length + Traced::named("slant of the ends", beyond - before);
  frame.origin = from + before * frame.x + low_y * frame.y + low_z * frame.z;
  const Box around = world_box(frame, piece.blank());
  piece.corner = {around.min.x, around.min.y, around.min.z};
  const Vec3 ends[2] = {from, to};
  for (int i = 0; i < 2; ++i)
    if (std::abs(dot(normals[i], frame.x)) < 1 - 1e-12)
      piece.machining.emplace_back(
          EndCut{i == 0 ? End::start : End::finish, frame.to_local(ends[i]), frame.direction_to_local(normals[i])});
  structure.pieces.push_back(std::move(piece));
  return PieceId{static_cast<int>(structure.pieces.size()) - 1};
}

Result<void> bevel_end(Structure& structure, PieceId id, End end, Vec3 looks) {
  Piece& piece = structure[id];
  const Vec3 n = piece.frame.direction_to_local(unit(looks));
  const double out = end == End::start ? -n.x : n.x;
  if (!(out > kAlong))
    return fail("bad-bevel", describe(structure, body(id)) + " would be cut along instead of across",
                "let the cut look out of the end");
  // The long point is the corner that lies farthest against the cut's lean: there the plane passes through the end.
  const Vec3 point{end == End::start ? 0 : piece.length.value(), n.y > 0 ? 0 : piece.width.value(),
                   n.z > 0 ? 0 : piece.thickness.value()};
  piece.machining.emplace_back(EndCut{end, point, n});
  return {};
}

}  // namespace garthwright
