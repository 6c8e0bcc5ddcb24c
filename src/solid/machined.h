// SPDX-License-Identifier: Apache-2.0
//
// How a body comes out of its blank, worked out once for each mark: a plate sawn right through along the axis most of
// the machining runs along, then whatever cuts it from other sides, then bores. For most timbers the plate is all there
// is, and the solid is one prism.
#pragma once

#include "solid/convex_parts.h"
#include "solid/plate.h"
#include "structure/structure.h"

namespace garthwright::solid {

/// A round hole as a cylinder: from `entry` for `length` along `way` (unit), piece coordinates.
struct Bore {
  Vec3 entry, way;
  double radius = 0, length = 0;
};

/// Every coordinate is the piece's own.
struct Machined {
  Box blank;
  int through = 2;  ///< axis the plate is sawn along; its p and q are the next two, in turn
  Sawn plate;
  std::vector<Box> notches;       ///< from other sides, reaching past the blank where they are open
  std::vector<Plane> cuts;        ///< flat cuts askew to the plate: the timber lies below the plane
  std::vector<Bore> bores;        ///< those that are modelled
  std::vector<ConvexPart> parts;  ///< bores left out
  bool curve_cut = false;         ///< a cut from another side goes through a curved part
  int bodies = 1;                 ///< more than one: the machining cuts the piece apart
  Diagnostics diagnostics;        ///< machining that makes no sense and was left out; nothing left

  bool prism() const { return notches.empty() && cuts.empty(); }
  int p_axis() const { return (through + 1) % 3; }
  int q_axis() const { return (through + 2) % 3; }
  Vec3 point(Point2 at, double depth) const;
};

/// `who` names the piece in diagnostics ("no-size", "bad-cut", "bad-notch", "bad-shape", "bad-hole", "nothing-left",
/// "cut-apart"). Never fails: what cannot be cut is left out and said.
Machined machined(const Piece& piece, const std::string& who);
Machined uncut(const Box& blank, const std::string& who);

/// Bolt holes, counterbores and drains are part of the solid. Pilot and clearance holes for screws are not: there are
/// hundreds of them, each takes away a few grams, and no timber is told from another by them. They stay machining, for
/// marking and drilling.
bool is_modelled(Hole::Kind kind);

/// A convex piece of the plate's outline, over the plate's whole depth.
ConvexPart extruded(const Machined& machined, const ConvexPolygon& polygon);

/// The six planes of a box, timber or waste within.
std::vector<Plane> planes_of(const Box& box);

}  // namespace garthwright::solid
