// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "structure/fixing_layout.h"
#include "structure/fixing_rule.h"
#include "structure/joinery.h"
#include "structure/touch.h"

namespace garthwright {
namespace {

using timber::FixingItem;
using timber::FixingKind;

/// What lies along a fixing whose point of the first plane is here; the place of its head on the surface.
std::pair<FixingLine, Vec3> line_at(const Structure& structure, const std::vector<Body>& chain, Vec3 point,
                                    Vec3 direction) {
  FixingLine line;
  line.head_side = line.through = std::max(0.0, way_out(structure, chain.front(), point, -direction));
  const Vec3 head = point - line.through * direction;
  for (std::size_t i = 1; i < chain.size(); ++i) {
    const double depth = std::max(0.0, way_out(structure, chain[i], head + line.through * direction, direction));
    if (i + 1 < chain.size())
      line.through += depth;
    else
      line.last = depth;
  }
  line.end_grain = std::abs(dot(frame_of(structure, chain.back()).x, direction)) > 0.9;
  return {line, head};
}

}  // namespace

Result<Diagnostics> fasten(Structure& structure, const Fastening& fastening, std::span<const FixingItem> sold) {
  const std::vector<Body>& chain = fastening.through;
  if (chain.size() < 2) return fail("bad-fixing", "a fixing goes through two bodies or more", "name them, head first");

  Polygon patch;
  Vec3 direction;
  for (std::size_t i = 0; i + 1 < chain.size(); ++i) {
    const JointId id = joint_between(structure, chain[i], chain[i + 1]);
    if (!id || structure[id].patch.empty())
      return fail("not-joined",
                  describe(structure, chain[i]) + " is not joined to " + describe(structure, chain[i + 1]),
                  "join them before fixing them");
    const Joint& joint = structure[id];
    if (i == 0) {
      direction = joint.a == chain[i] ? joint.normal : -joint.normal;
      patch = joint.patch;
      continue;
    }
    // Seen along the fixing, the patches of a chain lie one behind the other.
    Polygon behind = joint.patch;
    for (Vec3& corner : behind) corner = corner - dot(corner - patch[0], direction) * direction;
    patch = common(patch, behind, direction);
  }
  if (area(patch) < 1)
    return fail("no-contact",
                describe(structure, chain.front()) + " and " + describe(structure, chain.back()) +
                    " have no line for a fixing in common",
                "fix them by pairs");

  Diagnostics remarks;
  std::vector<Fixing> fixings;
  const FixingWanted& wanted = fastening.wanted;
  // The room that fixings want is that of the one that would go through the middle.
  const auto middle = choose_fixing(wanted, line_at(structure, chain, centroid(patch), direction).first, sold);
  const Room room = middle ? room_of(*middle->item) : Room{60, 35, 25, 20};
  for (const Vec3& point : lay_out(structure, chain, patch, direction, fastening.count, fastening.every_mm, room)) {
    const auto [line, head] = line_at(structure, chain, point, direction);
    const std::optional<FixingChoice> choice = choose_fixing(wanted, line, sold);
    if (!choice || !choice->suits) {
      const double diameter = choice ? choice->item->diameter_mm : wanted.least_diameter;
      const FixingKind kind = choice ? choice->item->kind : wanted.kind;
      const std::string what = fmt::format("the yard sells no {} that suits {} into {}",
                                           wanted.item.empty() ? std::string(name(wanted.kind)) : wanted.item,
                                           describe(structure, chain.front()), describe(structure, chain.back()));
      const std::string would_do = "a length " + wanted_length(kind, diameter, line) + " would do";
      if (!choice || !fastening.nearest_will_do) return fail("no-fixing", what, would_do);
      remarks.push_back({Severity::warning,
                         "no-fixing",
                         what,
                         would_do + "; counted as " + choice->item->name + ", which does not suit",
                         {}});
    }
    const FixingItem& item = *choice->item;
    fixings.push_back({item.name, item.kind, chain, head, direction, item.diameter_mm, item.length_mm, choice->sunk,
                       item.clearance_mm, item.pilot_mm, item.head_mm, item.make});
  }
  structure.fixings.insert(structure.fixings.end(), fixings.begin(), fixings.end());
  return remarks;
}

Result<void> fasten_to_wall(Structure& structure, Body piece, Way way, double every_mm, double least_diameter,
                            std::span<const FixingItem> sold) {
  constexpr double kIntoWall = 60;  // mm
  const Vec3 direction = vector(way);
  Polygon back;
  for (FlatFace& face : flat_faces(structure, piece))
    if (dot(face.normal, direction) > 1 - 1e-9) back = std::move(face.outline);
  if (back.empty())
    return fail("no-contact", describe(structure, piece) + " has no flat face towards the wall", "turn it to the wall");
  const Vec3 middle = centroid(back);
  structure.joints.push_back({JointKind::on_wall, piece, kWall, back, middle, direction, false, {}});
  const double through = way_out(structure, piece, middle, -direction);
  const FixingItem* best = nullptr;
  for (const FixingItem& item : sold)
    if (item.kind == FixingKind::coach_screw && item.diameter_mm >= least_diameter &&
        item.length_mm >= through + kIntoWall && (!best || item.length_mm < best->length_mm))
      best = &item;
  if (!best)
    return fail("no-fixing",
                "the yard sells no coach screw that reaches through " + describe(structure, piece) + " into a wall",
                "a length of " + format_length(through + kIntoWall) + " or more would do");
  for (const Vec3& point : lay_out(structure, {piece}, back, direction, 2, every_mm, room_of(*best)))
    structure.fixings.push_back({best->name,
                                 best->kind,
                                 {piece, kWall},
                                 point - through * direction,
                                 direction,
                                 best->diameter_mm,
                                 best->length_mm,
                                 0,
                                 best->clearance_mm,
                                 0,
                                 best->head_mm,
                                 best->make});
  return {};
}

}  // namespace garthwright
