// SPDX-License-Identifier: Apache-2.0
//
// Timber as convex parts. A machined piece is the union of a few convex polytopes that share faces but no volume; what
// touches, what clashes and what can be drawn past what are then questions about convex bodies, with short exact
// answers. A curved end is stood in for by chords within kChord mm of it.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "base/geometry.h"

namespace garthwright::solid {

/// A curve's convex parts stay this near to it, mm.
inline constexpr double kChord = 0.05;

/// Points with dot(normal, point) <= offset are inside; the normal is a unit vector.
struct Plane {
  Vec3 normal;
  double offset = 0;
};
inline double height_above(const Plane& plane, Vec3 point) { return dot(plane.normal, point) - plane.offset; }

/// Convex polytope. Face k lies in plane k; its vertices run anticlockwise seen from outside.
struct ConvexPart {
  std::vector<Vec3> vertices;
  std::vector<Plane> planes;
  std::vector<std::vector<int>> faces;
  std::vector<Vec3> edge_ways;  ///< unit directions of its edges, each once
  Box box;
  bool curved = false;  ///< a face of it stands in for a curved one
};

/// A part from vertices and faces; planes, edge ways and box follow. Faces of less than 1e-9 mm² are dropped.
ConvexPart convex_part(std::vector<Vec3> vertices, std::vector<std::vector<int>> faces, bool curved);
ConvexPart box_part(const Box& box);

/// The part where a Frame puts it.
ConvexPart placed(const ConvexPart& part, const Frame& frame);

double volume(const ConvexPart& part);
/// ∫ position dV: divide by the volume for the centre of mass.
Vec3 first_moment(const ConvexPart& part);

/// What is left below the plane; nothing when that is thinner than 1e-7 mm.
std::optional<ConvexPart> clipped(const ConvexPart& part, const Plane& plane);
/// What is left outside the convex body within `waste` (its planes), cut up into convex parts.
std::vector<ConvexPart> without(const ConvexPart& part, std::span<const Plane> waste);
/// The volume two parts share, as a part.
std::optional<ConvexPart> common(const ConvexPart& a, const ConvexPart& b);

/// How deep two parts reach into each other, mm: the least way one of them must move to be clear of the other; negative
/// when they stand apart (then at least that far, along some axis). Separating axes: face normals, and the products
/// of edges. Stops early, with a negative value, on the first axis with a gap of more than `enough`.
double penetration(const ConvexPart& a, const ConvexPart& b, double enough);

/// Where face `face_a` of a and `face_b` of b, looking at each other within `gap` mm, lie on one another.
struct FaceOverlap {
  double area = 0;
  Vec3 moment;  ///< area × centre
};
std::optional<FaceOverlap> face_overlap(const ConvexPart& a, int face_a, const ConvexPart& b, int face_b, double gap);

/// How many separate bodies the parts make up: parts hang together over at least 0.01 mm² of common face.
int count_bodies(const std::vector<ConvexPart>& parts);

}  // namespace garthwright::solid
