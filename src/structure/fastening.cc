// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "structure/corner_parts.h"
#include "structure/fixing_layout.h"
#include "structure/fixing_rule.h"
#include "structure/joinery.h"
#include "structure/touch.h"

namespace garthwright {
namespace {

using timber::FixingItem;
using timber::FixingKind;

/// What lies along a fixing whose point of the first plane is here; the place of its head on the surface.
std::pair<FixingLine, Vec3> line_at(const Structure& structure, const std::vector<Body>& chain,
                                    const std::vector<WayOut>& out, Vec3 point, Vec3 direction) {
  FixingLine line;
  line.head_side = line.through = std::max(0.0, out.front()(point, -direction));
  const Vec3 head = point - line.through * direction;
  for (std::size_t i = 1; i < chain.size(); ++i) {
    const double depth = std::max(0.0, out[i](head + line.through * direction, direction));
    if (i + 1 < chain.size())
      line.through += depth;
    else
      line.last = depth;
  }
  line.end_grain = std::abs(dot(frame_of(structure, chain.back()).x, direction)) > 0.9;
  return {line, head};
}

Fixing fixing_of(const FixingItem& item, std::vector<Body> chain, Vec3 head, Vec3 direction, double sunk, Vec3 leg) {
  return {
      item.name,         item.kind,     std::move(chain), head,      direction, item.diameter_mm, item.length_mm, sunk,
      item.clearance_mm, item.pilot_mm, item.head_mm,     item.make, leg};
}

/// The face that all bodies of a chain share, seen along the fixing, and the way that goes.
struct SharedFace {
  Polygon patch;
  Vec3 direction;
};
Result<SharedFace> shared_face(const Structure& structure, const std::vector<Body>& chain) {
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
  return SharedFace{std::move(patch), direction};
}

/// The smallest part of those wanted that finds as many corners, in them.
Result<Fastened> fastened_by_parts(const Structure& structure, const Fastening& fastening,
                                   std::span<const FixingItem> sold) {
  const std::vector<Body>& chain = fastening.through;
  const std::string between = describe(structure, chain.front()) + " and " + describe(structure, chain.back());
  if (chain.size() > 2) return fail("bad-fixing", "a bracket holds two bodies and no more", "fix them by pairs");
  const Joint& joint = structure[joint_between(structure, chain[0], chain[1])];
  std::vector<const FixingItem*> parts;
  for (const FixingItem& item : sold)
    if (is_connector(item.kind) && is_wanted(fastening.wanted, item)) parts.push_back(&item);
  std::stable_sort(parts.begin(), parts.end(),
                   [](const FixingItem* a, const FixingItem* b) { return a->length_mm < b->length_mm; });
  double largest = 0;
  for (const FixingItem* item : parts) largest = std::max({largest, item->length_mm, item->make.width_mm});
  Corners corners(structure, joint, largest);
  std::size_t most = 0;
  for (const FixingItem* item : parts) {
    const auto places = corners.places(*item, fastening.count);
    most = std::max(most, places.size());
    if (static_cast<int>(places.size()) < fastening.count) continue;
    Fastened done;
    for (const CornerPlace& place : places)
      done.fixings.push_back(fixing_of(*item, {place.first, place.next}, place.fold, place.next_leg, 0, place.leg));
    return done;
  }
  const std::string kind(fastening.wanted.item.empty() ? name(fastening.wanted.kind) : fastening.wanted.item);
  return fail(
      "no-fixing",
      parts.empty()
          ? "the yard sells no " + kind
          : fmt::format("{} between {} {} room",
                        fastening.count == 1 ? "a " + kind : fmt::format("{} × {}", fastening.count, kind), between,
                        most == 0 ? "has no" : fmt::format("have {} place{} with", most, most == 1 ? "" : "s")),
      parts.empty() ? "choose another fixing" : "a smaller part, or fewer, would do");
}

}  // namespace

Result<Fastened> fastened(const Structure& structure, FixingsByBody& set, const Fastening& fastening,
                          std::span<const FixingItem> sold) {
  const std::vector<Body>& chain = fastening.through;
  if (chain.size() < 2) return fail("bad-fixing", "a fixing goes through two bodies or more", "name them, head first");

  Result<SharedFace> shared = shared_face(structure, chain);
  if (!shared) return tl::make_unexpected(std::move(shared.error()));
  const auto& [patch, direction] = *shared;
  Fastened done;
  const FixingWanted& wanted = fastening.wanted;
  std::vector<const FixingItem*> suiting;
  for (const FixingItem& item : sold)
    if (is_wanted(wanted, item)) suiting.push_back(&item);
  const bool bent =
      std::any_of(suiting.begin(), suiting.end(), [](const auto* item) { return is_connector(item->kind); });
  if (bent || (wanted.item.empty() && is_connector(wanted.kind))) return fastened_by_parts(structure, fastening, sold);
  // The room that fixings want is that of the one that would go through the middle.
  std::vector<WayOut> out;
  for (const Body b : chain) out.emplace_back(structure, b);
  const auto middle = choose_fixing(suiting, line_at(structure, chain, out, centroid(patch), direction).first);
  const Room room = middle ? room_of(*middle->item, fastening.us) : Room{60, 35, 25, 20};
  const Layout layout = lay_out(structure, set, chain, patch, direction, fastening.count, fastening.every_mm, room);
  done.room_met = layout.met;
  for (const Vec3& point : layout.places) {
    const auto [line, head] = line_at(structure, chain, out, point, direction);
    const std::optional<FixingChoice> choice = choose_fixing(suiting, line);
    if (!choice || !choice->suits) {
      const double diameter = choice ? choice->item->diameter_mm : wanted.least_diameter;
      const FixingKind kind = choice ? choice->item->kind : wanted.kind;
      const std::string what = fmt::format("the yard sells no {} that suits {} into {}",
                                           wanted.item.empty() ? std::string(name(wanted.kind)) : wanted.item,
                                           describe(structure, chain.front()), describe(structure, chain.back()));
      const std::string would_do = "a length " + wanted_length(kind, diameter, line) + " would do";
      if (!choice || !fastening.nearest_will_do) return fail("no-fixing", what, would_do);
      done.remarks.push_back({Severity::warning,
                              "no-fixing",
                              what,
                              would_do + "; counted as " + choice->item->name + ", which does not suit",
                              {}});
    }
    const FixingItem& item = *choice->item;
    done.fixings.push_back(fixing_of(item, chain, head, direction, choice->sunk, {}));
  }
  return done;
}

std::optional<FixingLine> even_line(const Structure& structure, const std::vector<Body>& through) {
  constexpr double kInside = 0.02, kSame = 1e-6;  // of the way from a corner to the middle; mm
  const auto is_solid = [](Body b) { return b.kind == Body::Kind::piece || b.kind == Body::Kind::panel; };
  if (through.size() < 2 || !std::all_of(through.begin(), through.end(), is_solid)) return std::nullopt;
  const Result<SharedFace> shared = shared_face(structure, through);
  if (!shared) return std::nullopt;
  std::vector<WayOut> out;
  for (const Body b : through) out.emplace_back(structure, b);
  const Vec3 middle = centroid(shared->patch);
  const FixingLine line = line_at(structure, through, out, middle, shared->direction).first;
  for (const Vec3& corner : shared->patch) {
    const FixingLine other =
        line_at(structure, through, out, corner + kInside * (middle - corner), shared->direction).first;
    if (std::abs(other.through - line.through) > kSame || std::abs(other.last - line.last) > kSame ||
        std::abs(other.head_side - line.head_side) > kSame)
      return std::nullopt;
  }
  return line;
}

Result<Diagnostics> fasten(Structure& structure, FixingsByBody& set, const Fastening& fastening,
                           std::span<const FixingItem> sold) {
  Result<Fastened> done = fastened(structure, set, fastening, sold);
  if (!done) return tl::make_unexpected(std::move(done.error()));
  structure.fixings.insert(structure.fixings.end(), done->fixings.begin(), done->fixings.end());
  return std::move(done->remarks);
}

Result<void> fasten_to_wall(Structure& structure, FixingsByBody& set, Body piece, Way way, const WallHold& hold,
                            std::span<const FixingItem> sold) {
  constexpr double kIntoWall = 80;  // mm: what the values of walls think of (strength/wall_fixings.h)
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
    if (item.kind == FixingKind::coach_screw && item.diameter_mm >= hold.least_diameter &&
        (hold.item.empty() || item.name == hold.item || size_name(item.name) == hold.item) &&
        item.length_mm >= through + kIntoWall && (!best || item.length_mm < best->length_mm))
      best = &item;
  if (!best)
    return fail("no-fixing",
                "the yard sells no " + (hold.item.empty() ? "coach screw" : hold.item) + " that reaches through " +
                    describe(structure, piece) + " into a wall",
                "a length of " + format_length(through + kIntoWall) + " or more would do");
  for (Vec3 point :
       lay_out(structure, set, {piece}, back, direction, hold.count, hold.every_mm, room_of(*best)).places) {
    point.z += hold.above_mm;
    structure.fixings.push_back(fixing_of(*best, {piece, kWall}, point - through * direction, direction, 0, {}));
  }
  return {};
}

}  // namespace garthwright
