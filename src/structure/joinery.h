// SPDX-License-Identifier: Apache-2.0
//
// The trade's verbs on a Structure under construction. Each works from where the pieces are: it finds the shared volume
// or the touching faces itself, gives both pieces their machining, and records the joint. Failures are diagnostics that
// name the pieces ("rafter does not cross front beam"), never half-done joints.
#pragma once

#include <functional>

#include "structure/structure.h"

namespace garthwright {

/// The six ways along the world's axes, in the trade's words.
enum class Way { right, left, back, front, up, down };
Vec3 vector(Way way);
inline int axis(Way way) { return static_cast<int>(way) / 2; }
Way opposite(Way way);
std::string_view name(Way way);

/// Where and how an upright or level timber stands. `runs` is the way its length goes from the datum end, `wide` the
/// way its width lies (either sense is the same timber). `low` is the least x, y, z of its box.
struct Placing {
  std::string name, group;
  Role role = Role::other;
  SectionId section;
  Traced length;
  Way runs = Way::right;
  Way wide = Way::up;
  std::array<Traced, 3> low;
};

/// Adds the timber. Fails when its length is not above zero or `runs` and `wide` lie along one axis.
Result<PieceId> place(Structure& structure, const Placing& placing, const Traced& width, const Traced& thickness);

/// The world coordinate of a straight-standing body's face that looks `way`.
Traced face(const Structure& structure, Body body, Way way);

/// Both pieces lose their share of the volume they have in common: `upper` from below, `lower` from above, so that
/// their faces come flush where they were level. `share` is the part of the shared depth taken from `upper` (0.5 halves
/// it; 1 notches only `upper`; 0 only `lower`). `fit` mm is how much wider than the timber that goes in each notch is
/// cut. Directions other than up/down: `into` says from which side `upper` comes (Way::down: from above).
Result<JointId> cross(Structure& structure, PieceId upper, PieceId lower, double share, double fit,
                      Way into = Way::down);

/// A straight brace between two faces at right angles: from `foot` (a face it rises from) to `head`. See brace.cc for
/// the trapezoid; legs are measured from the corner to the long points.
struct Bracing {
  std::string name, group;
  SectionId section;
  Body foot;                  ///< what its lower end is mitred against, usually a post
  Way foot_face;              ///< the face of it
  Body head;                  ///< what its upper end meets (mitred against), or laps
  Way head_face;              ///< which way the plane of the upper cut looks
  Traced head_level;          ///< world coordinate of that plane along head_face's axis
  Traced leg_foot, leg_head;  ///< along the foot's face, along the head's plane
  Traced low_across;          ///< least coordinate across the plane of the brace
};
Result<PieceId> brace(Structure& structure, const Bracing& bracing, const Traced& width, const Traced& thickness);

/// A joint where two bodies touch: finds the touching faces' common area (its centre becomes the joint's point).
/// Fails with "no-contact" when they do not touch over at least 1 mm².
Result<JointId> join(Structure& structure, JointKind kind, Body a, Body b);

}  // namespace garthwright
