// SPDX-License-Identifier: Apache-2.0
#include "structure/swinging.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace garthwright {
namespace {

Vec3 about_z(Vec3 v, double degrees) {
  const double c = cosd(degrees), s = sind(degrees);
  return {c * v.x - s * v.y, s * v.x + c * v.y, v.z};
}

Box box_of(const Structure& structure, const std::vector<Body>& bodies) {
  Box box = world_box(structure, bodies.front());
  for (const Body b : bodies) box = enclosing(box, world_box(structure, b));
  return box;
}

/// What of the leaf is nearest to the post at a hinge's level; none where nothing is there.
const Body* hung_at(const Structure& structure, const Hanging& hanging, int across, bool post_below, double level) {
  const Body* best = nullptr;
  double nearest = 1e300;
  for (const Body& b : hanging.leaf) {
    const Box box = world_box(structure, b);
    if (level < box.min.z || level > box.max.z) continue;
    const double from_post = post_below ? box.min[across] : -box.max[across];
    if (from_post >= nearest) continue;
    nearest = from_post;
    best = &b;
  }
  return best;
}

}  // namespace

Result<void> hang(Structure& structure, const Hanging& hanging) {
  if (hanging.leaf.empty() || hanging.levels.empty())
    return fail("nothing-to-hang", hanging.name + " has no leaf or no hinges", "give pieces and the levels of hinges");
  if (axis(hanging.opens) == 2)
    return fail("bad-way", hanging.name + " cannot open up or down", "let it open right, left, back or front");
  const int across = 1 - axis(hanging.opens);
  const Box leaf = box_of(structure, hanging.leaf), post = world_box(structure, hanging.on);
  const bool below = post.max[across] <= leaf.min[across] + 1e-6, above = post.min[across] >= leaf.max[across] - 1e-6;
  if (!below && !above)
    return fail("not-beside", fmt::format("{} does not stand beside {}", hanging.name, describe(structure, hanging.on)),
                "leave a gap between the leaf and the post it hangs on");

  Swing swing{hanging.name, hanging.leaf, hanging.on, {}, hanging.levels, hanging.most_deg};
  std::sort(swing.levels.begin(), swing.levels.end());
  const int depth = axis(hanging.opens);
  swing.axis[across] = below ? (post.max[across] + leaf.min[across]) / 2 : (post.min[across] + leaf.max[across]) / 2;
  swing.axis[depth] = is_positive(hanging.opens) ? leaf.max[depth] : leaf.min[depth];
  swing.axis.z = swing.levels.front();
  Vec3 reach;
  reach[across] = below ? 1 : -1;
  if (dot(about_z(reach, 90), vector(hanging.opens)) < 0) swing.opens_deg = -swing.opens_deg;

  std::vector<Body> joined;
  for (const double level : swing.levels) {
    const Body* hung = hung_at(structure, hanging, across, below, level);
    if (hung == nullptr)
      return fail("nothing-to-hang", fmt::format("{} has nothing at {:.0f} mm to put a hinge on", hanging.name, level),
                  "let a ledge, a rail or a stile stand there");
    if (std::find(joined.begin(), joined.end(), *hung) != joined.end()) continue;
    joined.push_back(*hung);
    Vec3 at = swing.axis;
    at.z = level;
    structure.joints.push_back({JointKind::hinged, *hung, hanging.on, {}, at, -reach, true, "hung on its hinges"});
  }
  for (const Body b : swing.leaf) {
    if (b.kind == Body::Kind::piece)
      structure[PieceId{b.index}].duties.add(Duty::leaf);
    else
      structure[PanelId{b.index}].duties.add(Duty::leaf);
  }
  structure.swings.push_back(std::move(swing));
  return {};
}

Frame turned(const Swing& swing, const Frame& frame, double degrees) {
  return {swing.axis + about_z(frame.origin - swing.axis, degrees), about_z(frame.x, degrees),
          about_z(frame.y, degrees), about_z(frame.z, degrees)};
}

}  // namespace garthwright
