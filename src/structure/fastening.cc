// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "structure/joinery.h"
#include "structure/touch.h"

namespace garthwright {
namespace {

using timber::FixingItem;
using timber::FixingKind;

constexpr double kPointCover = 5;     // mm of timber left beyond a screw's point; common practice, no source
constexpr double kThinPart = 0.6;     // of a last body too thin for six diameters; our own choice
constexpr double kEndGrainMore = 12;  // mm more grip into end grain; common practice, no source
constexpr double kBoltMore = 20;      // mm for washer, nut and thread showing; common practice, no source
constexpr double kEdge = 25;          // mm from the edge of the patch, where it is wide enough

std::string_view word(FixingKind kind) {
  switch (kind) {
    case FixingKind::screw:
      return "screw";
    case FixingKind::coach_screw:
      return "coach screw";
    case FixingKind::coach_bolt:
      return "coach bolt";
    case FixingKind::nail:
      return "nail";
    case FixingKind::staple:
      return "staple";
  }
  return "fixing";
}

/// How long a fixing must and may be.
struct Reach {
  double through = 0;  ///< up to the last joint
  double last = 0;     ///< what the last body has to give
  bool end_grain = false;
};

bool suits(const FixingItem& item, const Reach& reach) {
  if (item.kind == FixingKind::coach_bolt) return item.length_mm >= reach.through + reach.last + kBoltMore;
  const double grip = 6 * item.diameter_mm + (reach.end_grain ? kEndGrainMore : 0);
  return item.length_mm >= reach.through + std::min(grip, kThinPart * reach.last) &&
         item.length_mm <= reach.through + reach.last - kPointCover;
}

const FixingItem* choose(const Fastening& fastening, const Reach& reach, std::span<const FixingItem> sold) {
  const FixingItem* best = nullptr;
  for (const FixingItem& item : sold) {
    if (!fastening.item.empty() ? item.name != fastening.item
                                : item.kind != fastening.kind || item.diameter_mm < fastening.least_diameter)
      continue;
    if (!suits(item, reach)) continue;
    if (!best || std::pair(item.length_mm, item.diameter_mm) < std::pair(best->length_mm, best->diameter_mm))
      best = &item;
  }
  return best;
}

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

Result<void> fasten(Structure& structure, const Fastening& fastening, std::span<const FixingItem> sold) {
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
    const Vec3 normal = joint.a == chain[i] ? joint.normal : -joint.normal;
    if (i == 0) {
      direction = normal;
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

  std::vector<Fixing> fixings;
  for (const Vec3& point : spread(patch, direction, fastening.count, fastening.every_mm)) {
    const double back = way_out(structure, chain.front(), point - 0.005 * direction, -direction);
    Reach reach{std::max(0.0, back), 0, false};
    for (std::size_t i = 1; i < chain.size(); ++i) {
      const Vec3 at = point + (reach.through - std::max(0.0, back) + 0.005) * direction;
      const double depth = std::max(0.0, way_out(structure, chain[i], at, direction));
      if (i + 1 < chain.size())
        reach.through += depth;
      else
        reach.last = depth;
    }
    reach.end_grain = std::abs(dot(frame_of(structure, chain.back()).x, direction)) > 0.9;
    const FixingItem* item = choose(fastening, reach, sold);
    if (!item) {
      const bool bolt = fastening.kind == FixingKind::coach_bolt;
      const std::string wanted =
          bolt ? fmt::format("{} or more", format_length(reach.through + reach.last + kBoltMore))
               : fmt::format("up to {}, and well past {}", format_length(reach.through + reach.last - kPointCover),
                             format_length(reach.through));
      return fail("no-fixing",
                  fmt::format("the yard sells no {} that suits {} into {}",
                              fastening.item.empty() ? std::string(word(fastening.kind)) : fastening.item,
                              describe(structure, chain.front()), describe(structure, chain.back())),
                  "a length of " + wanted + " would do");
    }
    fixings.push_back({item->name, item->kind, chain, point - std::max(0.0, back) * direction, direction,
                       item->diameter_mm, item->length_mm, item->clearance_mm, item->pilot_mm});
  }
  structure.fixings.insert(structure.fixings.end(), fixings.begin(), fixings.end());
  return {};
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
  const double through = way_out(structure, piece, middle - 0.005 * direction, -direction);
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
                                 best->clearance_mm,
                                 0});
  return {};
}

}  // namespace garthwright
