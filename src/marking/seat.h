// SPDX-License-Identifier: Apache-2.0
//
// Where another body meets a piece: the seat, told so that the other can be set by it alone, without knowing where
// either stands. On one long face (or as deep below it as a notch goes) two lines bound the other body, near and far
// from the datum end; how far its side lies from an edge fixes it across.
//
// The lines are those in which two opposite sides of the other body cut the plane of contact: of its four long sides
// where they run more across this piece than along it, else of its ends. Sides are those of the uncut timber; an end is
// its (first) slanting cut where it has one.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "structure/structure.h"

namespace garthwright::marking {

/// A side of a body by itself: `cut` counts the slanting cuts of an end, in the order of the machining.
struct Side {
  Face face = Face::edge_low;
  int cut = 0;
  bool operator==(const Side&) const = default;
};

/// One line of a seat: where it meets the edge that it is measured along, and how far it leans from square across,
/// towards the far end as it goes away from that edge.
struct SeatLine {
  double at_mm = 0;
  double angle_deg = 0;
  Side theirs;  ///< the side of the other body that comes to this line
};

struct Seat {
  Body other;
  JointId joint;
  Face face = Face::edge_low;  ///< a long face of this piece; the ends have the saw's marks
  double depth_mm = 0;         ///< how far below that face the other lies: 0 on it
  Face from = Face::side_low;  ///< the edge across which is measured: one of the two faces beside `face`
  /// Two timbers that meet end to end: `face` is an end, `from` the low edge, and the lines are measured across the
  /// thickness; they lean by their angle to the width (see `across_thickness_mm` in docs/plan-file.md).
  std::optional<double> near_z_mm, far_z_mm;
  SeatLine near, far;
  double across_mm =
      0;               ///< of the other's side `across` from that edge, on the near line; below 0 it stands out over it
  double wide_mm = 0;  ///< from there to its opposite side, square across this piece
  Side touching, across;  ///< of the other body
  double let_in_mm = 0;   ///< how far below its side `touching` the contact lies (its own notch)
  /// Over a bird's mouth: how far that side rises off this face along the lines, away from the edge `from`. What it is
  /// let in by then differs from place to place: `let_in_mm` is so far along it from its start.
  double tilt_deg = 0, let_in_at_mm = 0;
};

/// The seats of those of the joints, which are this piece's, whose plane of contact is parallel to one of its long
/// faces, or in which its end meets the end of another.
std::vector<Seat> seats_of(const Structure& structure, PieceId piece, const std::vector<JointId>& joints);
/// Whether the other runs on across the piece: how far its end stands over is then its own marks' business.
bool runs_across(const Seat& seat);

/// A side as a plane in the body's own coordinates, the normal outwards.
struct SidePlane {
  Vec3 point, normal;
};
SidePlane plane_of(const Structure& structure, Body body, Side side);

}  // namespace garthwright::marking
