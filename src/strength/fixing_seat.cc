// SPDX-License-Identifier: Apache-2.0
#include "strength/fixing_seat.h"

#include <algorithm>
#include <cmath>

#include "strength/slip_moduli.h"
#include "structure/touch.h"

namespace garthwright::strength {
namespace {

constexpr double kSquare = 0.3;    // cosine to a joint's plane below which it is not crossed
constexpr double kInWall = 1000;   // mm: a wall does not end
constexpr double kStepInside = 1;  // mm

/// Distance from the head's place on the surface to the plane where two bodies meet; below 0 when they are not joined.
double to_plane(const Structure& s, const Fixing& f, Vec3 direction, Body a, Body b) {
  const JointId id = joint_between(s, a, b);
  if (!id) return -1;
  const Joint& joint = s[id];
  const double along = dot(direction, joint.normal);
  return std::abs(along) < kSquare ? -1 : dot(joint.point - f.head, joint.normal) / along;
}

double thickness(const Structure& s, Body b, Vec3 at, Vec3 direction) {
  if (b.kind != Body::Kind::piece && b.kind != Body::Kind::panel) return kInWall;
  return std::max(0.0, kStepInside + way_out(s, b, at + kStepInside * direction, direction));
}

}  // namespace

double within(const Layer& layer, double a, double b) {
  return std::max(0.0, std::min(b, layer.to) - std::max(a, layer.from));
}

int Seat::plane(Body a, Body b) const {
  for (std::size_t i = 0; i + 1 < layers.size(); ++i)
    if ((layers[i].body == a && layers[i + 1].body == b) || (layers[i].body == b && layers[i + 1].body == a))
      return static_cast<int>(i);
  return -1;
}

Seat seat_of(const Structure& s, const Fixing& f) {
  Seat seat;
  seat.direction = unit(f.direction);
  seat.head = f.head + f.sunk * seat.direction;
  seat.point = f.length;
  double at = 0;  // from the surface
  for (std::size_t i = 0; i < f.through.size(); ++i) {
    const Body b = f.through[i];
    double end = at + thickness(s, b, f.head + at * seat.direction, seat.direction);
    if (i + 1 < f.through.size()) {
      const double plane = to_plane(s, f, seat.direction, b, f.through[i + 1]);
      if (plane >= at) end = plane;
    }
    const double from = std::max(0.0, at - f.sunk), to = std::min(f.length, std::max(from, end - f.sunk));
    seat.layers.push_back({b, from, to, into_end_grain(s, f, b)});
    at = end;
  }
  return seat;
}

}  // namespace garthwright::strength
