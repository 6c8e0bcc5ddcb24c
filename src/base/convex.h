// SPDX-License-Identifier: Apache-2.0
//
// Convex solids. A piece of timber is a union of a few of them that share faces but no volume; what touches, what
// clashes, what can be drawn past what are then questions with short exact answers. Lengths mm, coordinates up to some
// 100 m; what is thinner than 1e-7 mm is nothing.
#pragma once

#include <optional>
#include <vector>

#include "base/geometry.h"

namespace garthwright {

/// Points with dot(normal, point) <= offset are inside; the normal is a unit vector.
struct Plane {
  Vec3 normal;
  double offset = 0;
};
inline double height_above(const Plane& plane, Vec3 point) { return dot(plane.normal, point) - plane.offset; }

/// Convex polytope. Face k lies in plane k; its vertices run anticlockwise seen from outside. The axes are the distinct
/// directions of face normals and edges, regardless of sign: those that separate it from others. Build one by the
/// functions below, which keep all of this true.
struct ConvexPart {
  std::vector<Vec3> vertices;
  std::vector<Plane> planes;
  std::vector<std::vector<int>> faces;
  std::vector<Vec3> face_axes, edge_axes;
  Box box;
  bool is_aligned_box = false;  ///< all faces square to x, y, z
  bool curved = false;          ///< a face of it stands in for a curved one
};

/// A part from vertices and faces; the rest follows. Faces of less than 1e-9 mm² are dropped.
ConvexPart convex_part(std::vector<Vec3> vertices, std::vector<std::vector<int>> faces, bool curved = false);
ConvexPart box_part(const Box& box);

/// The part where a Frame puts it.
ConvexPart placed(const ConvexPart& part, const Frame& frame);
ConvexPart shifted(const ConvexPart& part, Vec3 by);

double volume(const ConvexPart& part);
/// ∫ position dV: divide by the volume for the centre of mass.
Vec3 first_moment(const ConvexPart& part);
Vec3 centroid(const ConvexPart& part);

/// What is left below the plane; nothing when that is too thin.
std::optional<ConvexPart> clipped(const ConvexPart& part, const Plane& plane);
/// The volume two parts share, as a part.
std::optional<ConvexPart> common(const ConvexPart& a, const ConvexPart& b);

/// Least and greatest value of dot(axis, point) over the part.
struct Extent {
  double low = 0, high = 0;
};
Extent extent(const ConvexPart& part, Vec3 axis);

}  // namespace garthwright
