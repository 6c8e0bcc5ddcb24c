// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "base/convex.h"

/// Ways to make convex solids, the only shapes of this room: a piece of any form is a union of them. Two points nearer
/// than 1e-7 mm are one.

namespace garthwright::assembly {

/// A box square to the axes; nothing when it has no volume.
std::optional<ConvexPart> make_box(Vec3 lo, Vec3 hi);

/// A convex polygon drawn out along `axis` (0, 1, 2) from `from` to `to`. The polygon's coordinates are the two other
/// axes in x, y, z order; either sense of turning is taken. Nothing when it is not convex or has no volume.
std::optional<ConvexPart> make_prism(int axis, double from, double to, std::vector<std::array<double, 2>> polygon);

/// A box standing askew: one corner and three edges from it. Nothing when the edges span no volume.
std::optional<ConvexPart> make_oblique_box(Vec3 corner, std::array<Vec3, 3> edges);

/// The convex hull of a few points (every triple is tried: meant for up to some 60). Nothing when they are flat.
std::optional<ConvexPart> make_hull(const std::vector<Vec3>& points);

Box box_around(const std::vector<ConvexPart>& parts);

/// The same union cut into parts that overlap nowhere, so that volumes may be added up.
std::vector<ConvexPart> without_overlaps(const std::vector<ConvexPart>& parts);

}  // namespace garthwright::assembly
