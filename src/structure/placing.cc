// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>

#include "structure/joinery.h"
#include "structure/touch.h"

namespace garthwright {
namespace {

/// Axes of a straight-standing body and the origin that puts its box at `low`.
Frame standing(Vec3 x, Vec3 y, Vec3 size, const std::array<Traced, 3>& low) {
  Frame frame{{}, x, y, cross(x, y)};
  const Vec3 reach = frame.direction_to_world(size);
  for (int i = 0; i < 3; ++i) frame.origin[i] = low[static_cast<std::size_t>(i)].value() + std::max(0.0, -reach[i]);
  return frame;
}

bool usable(const Traced& size) { return std::isfinite(size.value()) && size.value() > 0; }

/// The extent of a straight-standing body along a world axis.
const Traced& extent(const Frame& frame, const Traced& along_x, const Traced& along_y, const Traced& along_z,
                     int axis) {
  if (std::abs(frame.x[axis]) > 0.5) return along_x;
  return std::abs(frame.y[axis]) > 0.5 ? along_y : along_z;
}

bool is_straight(const Frame& frame) { return way_of(frame.x) && way_of(frame.y); }

}  // namespace

Result<PieceId> place(Structure& structure, const Placing& placing) {
  const std::string who = placing.where.empty() ? placing.name : placing.where + " " + placing.name;
  for (const Traced* size : {&placing.length, &placing.width, &placing.thickness})
    if (!usable(*size))
      return fail(
          "no-length",
          fmt::format("{} would be {} long ({})", who, format_length(placing.length.value()), placing.length.sum()),
          "change the sizes that leave no room for it");
  if (axis(placing.runs) == axis(placing.wide))
    return fail("bad-placing", who + " runs and lies wide along the same axis", "give two ways at right angles");

  Piece piece;
  piece.name = placing.name;
  piece.where = placing.where;
  piece.group = placing.group;
  piece.role = placing.role;
  piece.show = usual_show(placing.role);
  piece.section = placing.section;
  piece.length = placing.length;
  piece.width = placing.width;
  piece.thickness = placing.thickness;
  piece.corner = placing.low;
  piece.frame = standing(vector(placing.runs), vector(placing.wide), piece.blank().max, placing.low);
  structure.pieces.push_back(std::move(piece));
  return PieceId{static_cast<int>(structure.pieces.size()) - 1};
}

Result<PieceId> butt_between(Structure& structure, Placing placing, Body from, Body to) {
  const auto along = static_cast<std::size_t>(axis(placing.runs));
  const Traced start = face(structure, from, placing.runs), finish = face(structure, to, opposite(placing.runs));
  placing.length = is_positive(placing.runs) ? finish - start : start - finish;
  placing.low[along] = is_positive(placing.runs) ? start : finish;
  const Result<PieceId> piece = place(structure, placing);
  if (!piece) return piece;
  for (const Body end : {from, to}) {
    const Result<JointId> joint = join(structure, JointKind::butt, end, body(*piece));
    if (!joint) return tl::make_unexpected(joint.error());
  }
  return piece;
}

Result<PanelId> place_panel(Structure& structure, const PanelPlacing& placing) {
  for (const Traced* size : {&placing.width, &placing.height, &placing.thickness})
    if (!usable(*size))
      return fail("no-length",
                  fmt::format("panel {} would be {} wide and {} high", placing.name,
                              format_length(placing.width.value()), format_length(placing.height.value())),
                  "change the sizes that leave no room for it");
  Panel panel{placing.name,
              placing.group,
              placing.item,
              placing.width,
              placing.height,
              placing.thickness,
              placing.mass_kg,
              placing.solidity,
              {},
              {},
              placing.low};
  panel.frame = standing(vector(placing.runs), vector(Way::up), panel.blank().max, placing.low);
  structure.panels.push_back(std::move(panel));
  return PanelId{static_cast<int>(structure.panels.size()) - 1};
}

Traced face(const Structure& structure, Body body, Way way) {
  const Frame& frame = frame_of(structure, body);
  const int along = axis(way);
  if (!is_straight(frame)) {
    // Askew: as far as its faces reach once the ends are cut.
    double reach = is_positive(way) ? -1e300 : 1e300;
    for (const FlatFace& side : flat_faces(structure, body))
      for (const Vec3& corner : side.outline)
        reach = is_positive(way) ? std::max(reach, corner[along]) : std::min(reach, corner[along]);
    return reach;
  }
  const auto i = static_cast<std::size_t>(along);
  if (body.kind == Body::Kind::panel) {
    const Panel& panel = structure[PanelId{body.index}];
    const Traced& low = panel.corner[i];
    return is_positive(way) ? low + extent(frame, panel.width, panel.height, panel.thickness, along) : low;
  }
  const Piece& piece = structure[PieceId{body.index}];
  const Traced& low = piece.corner[i];
  return is_positive(way) ? low + extent(frame, piece.length, piece.width, piece.thickness, along) : low;
}

Result<JointId> join(Structure& structure, JointKind kind, Body a, Body b) {
  std::optional<Touch> meeting = touch(structure, a, b);
  if (!meeting)
    return fail("no-contact", describe(structure, a) + " does not touch " + describe(structure, b),
                "place them face to face before joining them");
  Joint joint{kind, a, b, std::move(meeting->patch), {}, meeting->normal, false, {}};
  joint.point = centroid(joint.patch);
  structure.joints.push_back(std::move(joint));
  return JointId{static_cast<int>(structure.joints.size()) - 1};
}

Result<void> stand_in_ground(Structure& structure, PieceId post, const PostHole& hole, const std::string& fill) {
  Piece& piece = structure[post];
  const Box box = world_box(structure, body(post));
  if (box.min.z >= hole.ground)
    return fail("not-in-ground", describe(structure, body(post)) + " does not reach into the ground",
                "let it start below the ground");
  piece.ground_contact = true;
  const Vec3 foot{box.centre().x, box.centre().y, box.min.z};
  structure.joints.push_back({JointKind::in_ground, body(post), kGround, {}, foot, {0, 0, -1}, false, {}});
  structure.footings.push_back({post, {foot.x, foot.y, hole.ground}, hole.diameter, hole.depth, hole.gravel, fill});
  return {};
}

Result<void> stand_on_shoe(Structure& structure, PieceId post, const PostHole& pad, const std::string& fill,
                           const timber::FixingItem& shoe) {
  // mm: water splashes up to the one (common practice, no source); no shoe stands higher than the other.
  constexpr double kLeastClear = 10, kMostClear = 150, kHair = 1e-6;
  const Piece& piece = structure[post];
  const Box box = world_box(structure, body(post));
  const double clear = box.min.z - pad.ground;
  if (clear < kLeastClear - kHair || clear > kMostClear + kHair)
    return fail("not-on-shoe",
                fmt::format("{} ends {:.0f} mm above the ground", describe(structure, body(post)), clear),
                fmt::format("let it end {:.0f} to {:.0f} mm above the ground, clear of wet, on its shoe", kLeastClear,
                            kMostClear));
  const double across = std::hypot(piece.width.value(), piece.thickness.value());
  if (pad.diameter < across)
    return fail("small-pad",
                fmt::format("the pad of {} is {:.0f} mm wide and the post {:.0f} from corner to corner",
                            describe(structure, body(post)), pad.diameter, across),
                "make the pad wider");
  const Vec3 foot{box.centre().x, box.centre().y, box.min.z};
  structure.joints.push_back({JointKind::on_shoe, body(post), kGround, {}, foot, {0, 0, -1}, false, {}});
  structure.footings.push_back(
      {post, {foot.x, foot.y, pad.ground}, pad.diameter, pad.depth, pad.gravel, fill, shoe.name, shoe.make});
  structure.items.push_back({shoe.name, body(post)});
  return {};
}

Result<void> stand_loose(Structure& structure, PieceId piece, Floor on) {
  constexpr double kLevel = -0.999;
  const auto height = [](const FlatFace& side) { return side.outline.front().z; };
  std::optional<FlatFace> lowest;
  for (FlatFace& side : flat_faces(structure, body(piece)))
    if (side.normal.z < kLevel && (!lowest || height(side) < height(*lowest))) lowest = std::move(side);
  if (!lowest)
    return fail("no-foot", describe(structure, body(piece)) + " has no level face to stand on",
                "let it lie level, or cut its end level");
  structure.feet.push_back({piece, std::move(lowest->outline), on});
  return {};
}

}  // namespace garthwright
