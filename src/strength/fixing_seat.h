// SPDX-License-Identifier: Apache-2.0
//
// How a fixing lies in the timbers it goes through: how much of it is in each, and where it crosses from one to the
// next. A counterbore takes from the first timber and gives the point as much; notches take what they have sawn out.
#pragma once

#include <vector>

#include "structure/structure.h"

namespace garthwright::strength {

/// A timber (or the wall) along a fixing, mm from its head's seat in the counterbore.
struct Layer {
  Body body;
  double from = 0, to = 0;
  bool end_grain = false;
  double thick() const { return to > from ? to - from : 0; }
};

struct Seat {
  std::vector<Layer> layers;  ///< as Fixing::through; the last ends at the fixing's point or where the timber does
  Vec3 head, direction;       ///< of the seat, world
  double point = 0;           ///< of the fixing, mm from its head's seat

  /// Of a plane between two of its bodies: the layer on the head's side; the one on the point's side is the next. -1
  /// where the two do not follow one another.
  int plane(Body a, Body b) const;
  /// Where it crosses that plane.
  Vec3 crossing(int plane) const { return head + layers[static_cast<std::size_t>(plane)].to * direction; }
};

Seat seat_of(const Structure& structure, const Fixing& fixing);

/// Length of [a, b] within a layer.
double within(const Layer& layer, double a, double b);

}  // namespace garthwright::strength
