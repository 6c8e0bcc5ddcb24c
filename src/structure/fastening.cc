// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "structure/fixing_rule.h"
#include "structure/joinery.h"
#include "structure/touch.h"

namespace garthwright {
namespace {

using timber::FixingItem;
using timber::FixingKind;

constexpr double kEdge = 25;  // mm from the edge of the patch, where it is wide enough; common practice, no source

/// How far a point in the patch's plane lies from its nearest edge; below 0 outside.
double distance_inside(const Polygon& patch, Vec3 normal, Vec3 point) {
  const Vec3 middle = centroid(patch);
  double nearest = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < patch.size(); ++i) {
    Vec3 inward = cross(normal, patch[(i + 1) % patch.size()] - patch[i]);
    if (norm(inward) < 1e-9) continue;
    inward = unit(inward);
    if (dot(middle - patch[i], inward) < 0) inward = -inward;
    nearest = std::min(nearest, dot(point - patch[i], inward));
  }
  return nearest;
}

/// Rows and columns over the patch: `along` its longest edge and across it.
std::vector<Vec3> spread(const Polygon& patch, Vec3 normal, int count, double every) {
  Vec3 along{};
  for (std::size_t i = 0; i < patch.size(); ++i) {
    const Vec3 edge = patch[(i + 1) % patch.size()] - patch[i];
    if (norm(edge) > norm(along) + 1e-6) along = edge;
  }
  along = unit(along);
  const Vec3 across = unit(cross(normal, along)), middle = centroid(patch);
  const auto reach = [&](Vec3 way) {
    double low = 0, high = 0;
    for (const Vec3& corner : patch) {
      low = std::min(low, dot(corner - middle, way));
      high = std::max(high, dot(corner - middle, way));
    }
    return std::pair(low, high);
  };
  const auto [a0, a1] = reach(along);
  const auto [b0, b1] = reach(across);
  if (every > 0) count = std::max(count, static_cast<int>(std::ceil((a1 - a0 - 2 * kEdge) / every)) + 1);
  const bool two_rows = count >= 4 && b1 - b0 >= 60;
  const int columns = two_rows ? (count + 1) / 2 : count;
  const auto place = [](double low, double high, int i, int n) {
    const double edge = std::min(kEdge, 0.25 * (high - low));
    return n == 1 ? 0.5 * (low + high) : low + edge + (high - low - 2 * edge) * i / (n - 1);
  };
  const double margin = std::min(kEdge, 0.24 * (b1 - b0));
  std::vector<Vec3> points;
  for (int i = 0; i < count; ++i) {
    const int row = two_rows ? i % 2 : 0, column = two_rows ? i / 2 : i;
    Vec3 point = middle + place(a0, a1, column, columns) * along + place(b0, b1, row, two_rows ? 2 : 1) * across;
    // A patch that is no rectangle is narrower than its extent: come in until the edge is far enough off.
    for (int step = 0; step < 40 && distance_inside(patch, normal, point) < margin; ++step)
      point = point + 0.1 * (middle - point);
    points.push_back(point);
  }
  return points;
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
  for (const Vec3& point : spread(patch, direction, fastening.count, fastening.every_mm)) {
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
    const FixingWanted& wanted = fastening.wanted;
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
                       item.clearance_mm, item.pilot_mm});
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
  for (const Vec3& point : spread(back, direction, 2, every_mm))
    structure.fixings.push_back({best->name,
                                 best->kind,
                                 {piece, kWall},
                                 point - through * direction,
                                 direction,
                                 best->diameter_mm,
                                 best->length_mm,
                                 0,
                                 best->clearance_mm,
                                 0});
  return {};
}

}  // namespace garthwright
