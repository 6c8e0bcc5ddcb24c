// SPDX-License-Identifier: Apache-2.0
//
// What parts of timber are to one another. A curved end is stood in for by chords within kChord mm of it.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "base/convex.h"

namespace garthwright::solid {

/// A curve's convex parts stay this near to it, mm.
inline constexpr double kChord = 0.05;

/// What is left outside the convex body within `waste` (its planes), cut up into convex parts.
std::vector<ConvexPart> without(const ConvexPart& part, std::span<const Plane> waste);
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
