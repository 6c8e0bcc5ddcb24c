// SPDX-License-Identifier: Apache-2.0
//
// A plate sawn right through: what is left of the rectangle [0, p] × [0, q] after notches, dips, flat cuts and shaped
// ends that all run through its whole thickness. No general boolean is needed for that. The plate is swept along p:
// between two neighbouring places where anything begins, ends or crosses, the curves keep their order, so the plate is
// a stack of bands, each of them timber or waste as one point of it says. The bands give, exactly, the outline (timber
// beside waste) and convex parts (the bands of timber themselves).
#pragma once

#include <string>

#include "solid/outline.h"

namespace garthwright::solid {

struct Rectangle {
  Point2 min, max;
};

/// Everything on the side the normal points to is waste.
struct FlatCut {
  Point2 point, normal;
};

/// A saw path across the plate; the waste is everything beyond it towards high p, or low p. Where the path begins or
/// ends inside the plate it is carried on straight across (along q).
struct SawPath {
  bool towards_high_p = true;
  std::vector<OutlineEdge> strokes;
};

/// A saw path that leaves the edge q = 0 (or the one at high q) and comes back to it, p only growing; the waste lies
/// between the path and the edge.
struct Dip {
  bool at_high_q = false;
  std::vector<OutlineEdge> strokes;
};

struct Plate {
  double p = 0, q = 0;
  std::vector<Rectangle> notches;
  std::vector<FlatCut> cuts;
  std::vector<SawPath> paths;
  std::vector<Dip> dips{};
};

struct Sawn {
  Outline outline;
  /// Their union is the outline, to `chord` mm along curves; no two share area.
  std::vector<ConvexPolygon> convex;
};

/// Cost grows with bands × cutters: a beam with fifty notches takes well under a millisecond. Places nearer to each
/// other than 0.000001 mm are one place.
Sawn saw(const Plate& plate, double chord);

}  // namespace garthwright::solid
