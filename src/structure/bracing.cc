// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <cmath>

#include "structure/joinery.h"

namespace garthwright {

// In the plane of the brace, u runs away from the foot's face and v from the head's plane into the room below it; the
// corner is at (0, 0). The long edge joins (0, leg_foot) and (leg_head, 0), and the timber lies between it and the
// corner:
//
//        corner ┌──────────┬── head plane
//               │        ／／ <- long point of the head (leg_head, 0)
//               │     ／／
//               │  ／／
//               ├／／
//               │／  <- long point of the foot (0, leg_foot)
Result<PieceId> brace(Structure& structure, const Bracing& bracing) {
  const std::string who = bracing.where.empty() ? bracing.name : bracing.where + " " + bracing.name;
  const double a = bracing.leg_foot.value(), b = bracing.leg_head.value(), width = bracing.width.value();
  if (axis(bracing.foot_face) == axis(bracing.head_face))
    return fail("bad-placing", who + " runs between two faces that look the same way", "give faces at right angles");
  if (!(a > 0) || !(b > 0) || a * b / std::hypot(a, b) <= width)
    return fail("brace-too-short",
                fmt::format("{} has legs of {} and {}: no room for a timber {} wide between them", who,
                            format_length(a), format_length(b), format_length(width)),
                fmt::format("legs of {} or more would do", format_length(std::ceil(width * std::sqrt(2.0)) + 1)));

  const Vec3 u = vector(bracing.foot_face), v = -vector(bracing.head_face);
  const double edge = std::hypot(a, b);
  Piece piece;
  piece.name = bracing.name;
  piece.where = bracing.where;
  piece.group = bracing.group;
  piece.role = bracing.role;
  piece.duties = {Duty::brace};
  piece.section = bracing.section;
  piece.width = bracing.width;
  piece.thickness = bracing.thickness;
  const bool equal = std::abs(a - b) < 1e-9;
  piece.length = equal ? Traced::step("long edge", edge, bracing.leg_foot.sum() + " × √2", {bracing.leg_foot})
                       : Traced::step("long edge", edge,
                                      fmt::format("√(({})² + ({})²)", bracing.leg_foot.sum(), bracing.leg_head.sum()),
                                      {bracing.leg_foot, bracing.leg_head});

  Vec3 corner;
  corner[axis(bracing.foot_face)] = face(structure, bracing.foot, bracing.foot_face).value();
  corner[axis(bracing.head_face)] = bracing.head_level.value();
  piece.frame.x = (1 / edge) * (b * u - a * v);
  piece.frame.y = (-1 / edge) * (a * u + b * v);
  piece.frame.z = cross(piece.frame.x, piece.frame.y);
  const int across = 3 - axis(bracing.foot_face) - axis(bracing.head_face);
  corner[across] = bracing.low_across.value() + (piece.frame.z[across] > 0 ? 0 : bracing.thickness.value());
  piece.frame.origin = corner + a * v;
  const Box around = world_box(piece.frame, piece.blank());
  piece.corner = {around.min.x, around.min.y, around.min.z};

  piece.machining.emplace_back(EndCut{End::start, {0, 0, 0}, piece.frame.direction_to_local(-u)});
  piece.machining.emplace_back(EndCut{End::finish, {edge, 0, 0}, piece.frame.direction_to_local(-v)});

  structure.pieces.push_back(std::move(piece));
  const PieceId id{static_cast<int>(structure.pieces.size()) - 1};
  const Result<JointId> joint = join(structure, JointKind::mitre, body(id), bracing.foot);
  if (!joint) {
    structure.pieces.pop_back();
    return tl::make_unexpected(joint.error());
  }
  return id;
}

// Leaning at angle θ to the faces, H apart, a timber of width w covers D = H / tan θ + w / sin θ along them, so that
// D sin θ − H cos θ = w and θ = atan(H / D) + asin(w / √(D² + H²)). Its long points are H / sin θ + w / tan θ apart.
Result<PieceId> strut(Structure& structure, const Strutting& strutting) {
  const std::string who = strutting.where.empty() ? strutting.name : strutting.where + " " + strutting.name;
  const Traced foot_level = face(structure, strutting.foot, strutting.foot_face);
  const Traced head_level = face(structure, strutting.head, opposite(strutting.foot_face));
  const Traced between = is_positive(strutting.foot_face) ? head_level - foot_level : foot_level - head_level;
  const double height = between.value(), width = strutting.width.value();
  const double run = std::abs(strutting.to.value() - strutting.from.value()), across_corner = std::hypot(run, height);
  if (axis(strutting.foot_face) == axis(strutting.along))
    return fail("bad-placing", who + " runs along the way its faces look", "give a way along the faces");
  if (!(height > 0) || !(run > width))
    return fail("no-length",
                fmt::format("{} has no room: {} between the faces, {} along them", who, format_length(height),
                            format_length(run)),
                "move its ends farther apart");
  const double angle = std::atan2(height, run) + std::asin(width / across_corner);
  const double s = std::sin(angle), c = std::cos(angle);
  if (c < 0)
    return fail("no-length", fmt::format("{} is too wide to lean between its ends", who), "choose a narrower section");

  Piece piece;
  piece.name = strutting.name;
  piece.where = strutting.where;
  piece.group = strutting.group;
  piece.role = strutting.role;
  piece.duties = {Duty::brace};
  piece.section = strutting.section;
  piece.width = strutting.width;
  piece.thickness = strutting.thickness;
  piece.length = Traced::step("long edge", height / s + width * c / s,
                              fmt::format("leaning over {} between faces {} apart", format_length(run), between.sum()),
                              {between, strutting.from, strutting.to, strutting.width});
  Vec3 h = vector(strutting.along);
  if ((strutting.to.value() < strutting.from.value()) == is_positive(strutting.along)) h = -h;
  const Vec3 v = vector(strutting.foot_face);
  piece.frame.x = c * h + s * v;
  piece.frame.y = -s * h + c * v;
  piece.frame.z = cross(piece.frame.x, piece.frame.y);
  // The long point of the foot, (0, width) in the piece, stands at `from` on the foot's face.
  Vec3 point;
  point[axis(strutting.along)] = strutting.from.value();
  point[axis(strutting.foot_face)] = foot_level.value();
  const int across = 3 - axis(strutting.along) - axis(strutting.foot_face);
  point[across] = strutting.low_across.value() + (piece.frame.z[across] > 0 ? 0 : strutting.thickness.value());
  piece.frame.origin = point - width * piece.frame.y;
  const Box around = world_box(piece.frame, piece.blank());
  piece.corner = {around.min.x, around.min.y, around.min.z};
  piece.machining.emplace_back(EndCut{End::start, {0, width, 0}, piece.frame.direction_to_local(-v)});
  piece.machining.emplace_back(EndCut{End::finish, {piece.length.value(), 0, 0}, piece.frame.direction_to_local(v)});

  const std::size_t joints = structure.joints.size();
  structure.pieces.push_back(std::move(piece));
  const PieceId id{static_cast<int>(structure.pieces.size()) - 1};
  for (const Body end : {strutting.foot, strutting.head}) {
    const Result<JointId> joint = join(structure, JointKind::mitre, body(id), end);
    if (joint) continue;
    structure.pieces.pop_back();
    structure.joints.resize(joints);
    return tl::make_unexpected(joint.error());
  }
  return id;
}

}  // namespace garthwright
