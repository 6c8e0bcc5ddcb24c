// SPDX-License-Identifier: Apache-2.0
#include "structure/mitring.h"

#include <fmt/format.h>

#include <cmath>

#include "structure/joinery.h"

namespace garthwright {
namespace {

constexpr double kSame = 0.01;  // mm

/// One of the two at the corner.
struct Arm {
  PieceId id;
  End end;
  Vec3 away;         ///< along it, from the corner
  double along = 0;  ///< of the corner, mm
};

/// The end of a straight timber that lies in the corner, where the corner is all of it there.
std::optional<Arm> arm_in(const Structure& structure, PieceId id, const Box& corner) {
  const Piece& piece = structure[id];
  const std::optional<Way> runs = way_of(piece.frame.x);
  if (!runs) return std::nullopt;
  const int axis_ = axis(*runs);
  const Box box = world_box(structure, body(id));
  const bool low = std::abs(corner.min[axis_] - box.min[axis_]) < kSame;
  const bool high = std::abs(corner.max[axis_] - box.max[axis_]) < kSame;
  if (low == high) return std::nullopt;
  Arm arm{id, low == is_positive(*runs) ? End::start : End::finish, {}, corner.size()[axis_]};
  arm.away[axis_] = low ? 1 : -1;
  for (int other = 0; other < 3; ++other)
    if (other != axis_ && std::abs(corner.size()[other] - box.size()[other]) > kSame) return std::nullopt;
  return arm;
}

}  // namespace

Result<JointId> mitre(Structure& structure, PieceId a, PieceId b) {
  const auto refused = [&](const char* why, const char* cure) {
    return fail("no-mitre",
                fmt::format("{} and {} {}", describe(structure, body(a)), describe(structure, body(b)), why), cure);
  };
  const Box corner = intersection(world_box(structure, body(a)), world_box(structure, body(b)));
  const Vec3 size = corner.size();
  if (size.x < kSame || size.y < kSame || size.z < kSame)
    return refused("share no corner to mitre", "place both out to the corner");
  const std::optional<Arm> one = arm_in(structure, a, corner), other = arm_in(structure, b, corner);
  if (!one || !other || std::abs(dot(one->away, other->away)) > 1e-9)
    return refused("do not end in one corner, square to each other and of one height there",
                   "let both run square, out to the corner, and as high as each other");
  const Vec3 to_one = unit(other->along * one->away - one->along * other->away);  // square to the cut
  for (const auto& [arm, waste] : {std::pair{*one, -to_one}, std::pair{*other, to_one}}) {
    Piece& piece = structure[arm.id];
    piece.machining.emplace_back(
        EndCut{arm.end, piece.frame.to_local(corner.centre()), piece.frame.direction_to_local(waste)});
  }
  Result<JointId> joint = join(structure, JointKind::mitre, body(a), body(b));
  if (joint) return joint;
  structure[a].machining.pop_back();  // a failed joint changes nothing
  structure[b].machining.pop_back();
  return joint;
}

}  // namespace garthwright
