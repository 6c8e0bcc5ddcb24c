// SPDX-License-Identifier: Apache-2.0
//
// Timbers that lie askew: a rail that follows the ground, a leaning back, a chord of a curve.
#pragma once

#include "structure/joinery.h"

namespace garthwright {

/// A straight timber along a line from one point to another, as a chalk line is struck. Its width lies `wide` as nearly
/// as the line leaves it, turned about the line by `turn_deg`.
struct Laying {
  std::string name, where, group;
  Role role = Role::other;
  SectionId section;
  Traced width, thickness;
  std::array<Traced, 3> from, to;
  Way wide = Way::up;
  double turn_deg = 0;
  /// Where across its width the line runs: along the edge it starts from, its middle, or the far edge.
  enum class Edge { low, middle, high };
  Edge edge = Edge::low;
  /// The way the timber lies from the line across its thickness; the line runs in its middle when there is none.
  std::optional<Way> lies;
  /// How its ends are cut through the two points: plumb as against a post, level as on the ground, or square.
  enum class Ends { plumb, level, square };
  Ends ends = Ends::plumb;
  double from_turn_deg = 0, to_turn_deg = 0;  ///< plumb cuts, turned about the vertical, anticlockwise from above
};

/// Adds the timber; its length is long point to long point. Fails where the points are one, where the width would lie
/// along the line, and where the ends would be cut along it.
Result<PieceId> lay(Structure& structure, const Laying& laying);

/// Cuts an end on a slope so that what is left of it looks `looks` (world); its long point keeps its place. Fails where
/// that is no end of the piece.
Result<void> bevel_end(Structure& structure, PieceId piece, End end, Vec3 looks);

}  // namespace garthwright
