// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <optional>
#include <utility>
#include <vector>

#include "assembly/vec3.h"

/// Convex solids: the only shapes of this room. A piece of any form is a union of them.
/// Lengths mm, coordinates up to some 100 m; two points nearer than 1e-7 mm are one.

namespace garthwright::assembly {

struct Bounds {
  Vec3 lo, hi;
};

/// The half-space normal · x <= offset; the normal is a unit vector and points out of the solid.
struct Plane {
  Vec3 normal;
  double offset = 0;
};

/// A closed convex polytope. Faces are loops of vertex indices, counter-clockwise seen from outside; planes[i] carries
/// faces[i]. `face_axes` and `edge_axes` are the distinct directions of face normals and edges, regardless of sign:
/// the axes that separate it from other solids. Build one by the functions below, which keep all of this true.
struct ConvexPart {
  std::vector<Vec3> vertices;
  std::vector<std::vector<int>> faces;
  std::vector<Plane> planes;
  std::vector<Vec3> face_axes;
  std::vector<Vec3> edge_axes;
  Bounds bounds;
  bool is_aligned_box = false;  ///< all faces square to x, y, z
};

/// A box square to the axes; nothing when it has no volume.
std::optional<ConvexPart> make_box(Vec3 lo, Vec3 hi);

/// A convex polygon drawn out along `axis` (0, 1, 2) from `from` to `to`. The polygon's coordinates are the two other
/// axes in x, y, z order; either sense of turning is taken. Nothing when it is not convex or has no volume.
std::optional<ConvexPart> make_prism(int axis, double from, double to, std::vector<std::array<double, 2>> polygon);

/// A box standing askew: one corner and three edges from it. Nothing when the edges span no volume.
std::optional<ConvexPart> make_oblique_box(Vec3 corner, std::array<Vec3, 3> edges);

/// The convex hull of a few points (every triple is tried: meant for up to some 60). Nothing when they are flat.
std::optional<ConvexPart> make_hull(const std::vector<Vec3>& points);

ConvexPart shifted(const ConvexPart& part, Vec3 by);

/// The share of the solid inside the plane's half-space; nothing when that is empty or flat.
std::optional<ConvexPart> clipped(const ConvexPart& part, const Plane& plane);

double volume(const ConvexPart& part);
Vec3 centroid(const ConvexPart& part);

/// Least and greatest value of axis · x over the solid.
std::pair<double, double> extent(const ConvexPart& part, Vec3 axis);

Bounds bounds_of(const std::vector<ConvexPart>& parts);

/// The same union cut into parts that overlap nowhere, so that volumes may be added up.
std::vector<ConvexPart> without_overlaps(const std::vector<ConvexPart>& parts);

}  // namespace garthwright::assembly
