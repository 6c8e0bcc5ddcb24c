// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "assembly/assembly.h"

/// Does a rigid set of pieces stand by itself on a level floor, and who can lift it?

namespace garthwright::assembly {

struct Standing {
  /// Least distance in plan of the plumb line through the centre of mass from the edge of the support polygon, mm;
  /// negative when it is outside, that is when the set falls over.
  double margin_mm = 0;
  double tip_deg = 0;  ///< how far the floor may tilt the worst way: atan(margin / height of the centre of mass)
  double mass_kg = 0;
  double height_mm = 0;  ///< of the centre of mass above the floor

  /// Balanced on an edge or a point is not standing.
  bool stable() const { return margin_mm > 1e-6; }
};

/// `down` underneath, a unit vector. Nothing but the pieces named counts. At least one piece.
Standing standing(const std::vector<const Piece*>& pieces, Vec3 down, double touch = kTouch);

/// ⌈mass × share / limit⌉, limit in kg for one person at that height.
int persons_to_lift(double mass_kg, double share, double limit_kg);

}  // namespace garthwright::assembly
