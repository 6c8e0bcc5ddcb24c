// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "assembly/convex.h"

/// Exact motion of one convex part past another. All shifts v for which `moving` + v overlaps `still` fill the
/// Minkowski difference still - moving, a convex solid whose faces are square to the face normals of both and to the
/// cross products of their edges (the separating axes: Gottschalk, Lin & Manocha 1996 for boxes; true of all convex
/// polytopes). So a straight motion is a line cut by slabs, and no sampling is done anywhere.

namespace garthwright::assembly {

/// Shifts v with lo < axis · v < hi overlap, as far as this axis can tell.
struct Slab {
  Vec3 axis;  ///< unit
  double lo = 0, hi = 0;
};

/// The Minkowski difference still - moving as slabs.
using Difference = std::vector<Slab>;

Difference difference(const ConvexPart& moving, const ConvexPart& still);

/// The stretch of t for which origin + t · way is inside; ends may be infinite.
struct Stretch {
  double from = 0, to = 0;
};

/// Where the line origin + t · way runs inside the difference shrunk by `touch` on every side, if anywhere.
std::optional<Stretch> clash(std::span<const Slab> difference, Vec3 origin, Vec3 way, double touch);

/// Two parts at rest: do they overlap by more than `touch`?
bool overlap(const ConvexPart& a, const ConvexPart& b, double touch);

/// Outward normals (seen from `still`) of the slabs on whose face the shift 0 lies: the contacts that hinder a start.
/// Empty when the parts are apart. A start along `way` is hindered when every normal has normal · way < 0.
std::vector<Vec3> contact_normals(const ConvexPart& moving, const ConvexPart& still, double touch);

}  // namespace garthwright::assembly
