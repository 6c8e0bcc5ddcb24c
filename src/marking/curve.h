// SPDX-License-Identifier: Apache-2.0
//
// The path of a shaped end as the saw meets it: points on it, how tightly it bends, whether it is fair, and the nearest
// path that bends less. Paths are in the plane of the wide side, mm; they know nothing of the rest of the piece.
#pragma once

#include <optional>
#include <vector>

#include "structure/structure.h"

namespace garthwright::marking {

/// A place on the wide side, mm.
struct Spot {
  double x = 0, y = 0;
};

/// Points on the path, never farther than `tolerance` mm from it between them: chords of arcs by their sagitta, of
/// cubics by the bound of Wang (for a cubic of n chords, 0.75 max |second difference| / n², from memory).
std::vector<Spot> points_along(const ShapedEnd& path, double tolerance);

/// Where a path bends most, and the radius there. None when it has straight strokes only.
struct Bend {
  double radius_mm = 0;
  Spot at;
};
std::optional<Bend> tightest_bend(const ShapedEnd& path);

/// What an eye along a bent lath would object to. A curve is fair when its curvature has few monotone pieces (Farin and
/// Sapidis 1989, from memory): here, when two smooth strokes meet without a kink of more than 2 degrees and the
/// curvature swells only once between two inflections (swellings of less than a tenth of the greatest do not count).
struct Unfair {
  enum class Kind { kink, bump };
  Kind kind = Kind::bump;
  Spot at;
  double kink_deg = 0;
};
std::vector<Unfair> unfair_places(const ShapedEnd& path);

/// The nearest path of the same kind that a blade of this least radius follows: too tight an arc becomes the arc of
/// that radius through the same two ends; a run of cubics is pressed towards the line between its ends until it bends
/// no more than that. The path itself when it already does.
ShapedEnd eased(const ShapedEnd& path, double least_radius_mm);

/// The greatest distance of a point of `path` from `other`, mm.
double departure(const ShapedEnd& path, const ShapedEnd& other);

}  // namespace garthwright::marking
