// SPDX-License-Identifier: Apache-2.0
//
// The trade's verbs on a Structure under construction. Each works from where the pieces are: it finds the shared volume
// or the touching faces itself, gives both pieces their machining, and records the joint. Failures are diagnostics that
// name the pieces ("rafter does not cross front beam"), never half-done joints.
#pragma once

#include <span>

#include "structure/fixing_rule.h"
#include "structure/fixings_by_body.h"
#include "structure/structure.h"
#include "structure/way.h"

namespace garthwright {

// ---- placing.cc -----------------------------------------------------------------------------------------------------

/// Where and how an upright or level timber stands. `runs` is the way its length goes from the datum end, `wide` the
/// way its width lies (either sense is the same timber). `low` is the least x, y, z of its box.
struct Placing {
  std::string name, where, group;
  Role role = Role::other;
  SectionId section;
  Traced length, width, thickness;
  Way runs = Way::right;
  Way wide = Way::up;
  std::array<Traced, 3> low;
};

/// Adds the timber. Fails when a size is not above zero or `runs` and `wide` lie along one axis.
Result<PieceId> place(Structure& structure, const Placing& placing);

/// A timber that just fits between two bodies: `placing.length` and its place along `runs` follow from their faces, and
/// both ends are joined by butt joints. Fails when there is no room between them or an end does not land on its
/// partner.
Result<PieceId> butt_between(Structure& structure, Placing placing, Body from, Body to);

/// Adds a ready-made panel standing upright: width along `runs` (level), height up, thickness the third way.
struct PanelPlacing {
  std::string name, group, item;
  Traced width, height, thickness;
  double mass_kg = 0, solidity = 1;
  Way runs = Way::back;
  std::array<Traced, 3> low;
};
Result<PanelId> place_panel(Structure& structure, const PanelPlacing& placing);

/// The world coordinate of a body's face that looks `way`: traced where the body stands straight, else plain.
Traced face(const Structure& structure, Body body, Way way);

/// A joint where two bodies touch: their largest touching area becomes its patch. Fails with "no-contact" when they do
/// not touch over at least 1 mm².
Result<JointId> join(Structure& structure, JointKind kind, Body a, Body b);

/// The post stands in a hole: the joint with the ground, and the footing centred on the post.
struct PostHole {
  double diameter = 0, depth = 0, gravel = 0;
  double ground = 0;  ///< level of the ground there
};
Result<void> stand_in_ground(Structure& structure, PieceId post, const PostHole& hole, const std::string& fill);

/// The post stands clear of the ground on a metal shoe (sold as `shoe`) in a pad: a filled hole below its middle. Fails
/// where its foot is nearer to the ground than 10 mm or farther than 150 mm, or the pad is no wider than the post.
Result<void> stand_on_shoe(Structure& structure, PieceId post, const PostHole& pad, const std::string& fill,
                           const timber::FixingItem& shoe);

/// The timber stands loose on its lowest level face. Fails where none looks down.
Result<void> stand_loose(Structure& structure, PieceId piece, Floor on);

// ---- crossing.cc ----------------------------------------------------------------------------------------------------

/// How two crossing timbers share the depth they have in common.
struct Crossing {
  PieceId coming, standing;  ///< `coming` is let down onto `standing`
  Way into = Way::down;      ///< the way `coming` comes in
  double share = 0.5;        ///< part of the shared depth cut from `coming`: 0.5 halves it, 1 notches only `coming`
  double fit_mm = 0;         ///< how much wider than the timber that goes in each notch is cut
};

/// Cuts both and joins them. Fails when they share no volume, or when `coming` would have to pass through `standing`.
Result<JointId> cross(Structure& structure, const Crossing& crossing);

// ---- bracing.cc -----------------------------------------------------------------------------------------------------

/// A straight brace across the corner of two faces at right angles. Its foot is mitred against a face of `foot`; its
/// head is cut along the plane at `head_level`, which is a face of `head` or, where the brace laps past it, a level of
/// its own. Legs run from the corner to the long points; the brace lies between its long edge and the corner.
struct Bracing {
  std::string name, where, group;
  Role role = Role::brace;
  SectionId section;
  Traced width, thickness;
  Body foot;
  Way foot_face = Way::right;  ///< which face of foot: the way it looks
  Way head_face = Way::up;     ///< which way the cut at the head looks
  Traced head_level;           ///< world coordinate of that cut
  Traced leg_foot, leg_head;   ///< along the face of foot, along the plane of the head
  Traced low_across;           ///< least world coordinate across the brace's own plane
};

/// Adds the brace and its mitre joint with foot. Long edge √(leg_foot² + leg_head²) is its length. Fails when the legs
/// leave no brace of that width between them.
Result<PieceId> brace(Structure& structure, const Bracing& bracing);

/// A straight brace between two parallel faces that look at each other, as between the ledges of a gate: a
/// parallelogram, both ends cut along the faces. `from` is where the outer side of its foot stands along the faces,
/// `to` where the outer side of its head ends; the whole brace lies between the two.
struct Strutting {
  std::string name, where, group;
  Role role = Role::brace;
  SectionId section;
  Traced width, thickness;
  Body foot, head;
  Way foot_face = Way::up;  ///< which face of foot; head's face looks the other way
  Way along = Way::right;   ///< the way `from` and `to` are measured
  Traced from, to;          ///< world coordinates
  Traced low_across;        ///< least world coordinate across the plane of the brace
};

/// Adds the brace and its mitre joints with foot and head. Its length is long point to long point. Fails when there is
/// no room between the faces, or when the brace would stand steeper than upright.
Result<PieceId> strut(Structure& structure, const Strutting& strutting);

// ---- fastening.cc ---------------------------------------------------------------------------------------------------

/// Fixings through a chain of bodies, head side first, spread over what all their joints have in common.
struct Fastening {
  std::vector<Body> through;
  FixingWanted wanted;
  int count = 1;                 ///< in a row along the longer side of the patch (four and more: two rows)
  double every_mm = 0;           ///< if above 0: as many as stand no farther apart than this, at least `count`
  bool us = false;               ///< distances by the American tables
  bool nearest_will_do = false;  ///< take the nearest sold, with a warning, rather than fail
};

/// Fixings as they would be set, before they are.
struct Fastened {
  std::vector<Fixing> fixings;
  Diagnostics remarks;
  double room_met = 1;  ///< fixing_layout.h
};
Result<Fastened> fastened(const Structure& structure, FixingsByBody& set, const Fastening& fastening,
                          std::span<const timber::FixingItem> sold);
/// What lies along a fixing through these bodies, head side first, where that is the same all over the face that they
/// share; none where it is not, or where they share none.
std::optional<FixingLine> even_line(const Structure& structure, const std::vector<Body>& through);
/// Chooses each fixing by rule (fixing_rule.h) and places it; returns warnings. Fails when bodies are not joined, or
/// when no fixing sold suits (it says which length would); a failed call changes nothing.
Result<Diagnostics> fasten(Structure& structure, FixingsByBody& set, const Fastening& fastening,
                           std::span<const timber::FixingItem> sold);

/// What holds a timber against a wall.
struct WallHold {
  double every_mm = 600, least_diameter = 8;
  double above_mm = 0;  ///< the row stands so far above the timber's middle
  int count = 2;
  std::string item{};  ///< "coach screw M10": of that size; "": any
};
/// A timber held flat against the wall that lies `way`: its joint with the wall and a row of coach screws into the
/// wall's plugs, `count` or as many as stand no farther apart than `every_mm`, at least 60 mm into the wall (common
/// practice, no source; what a wall carries is for the maker of the plugs to say). Fails when none sold is long enough.
Result<void> fasten_to_wall(Structure& structure, FixingsByBody& set, Body piece, Way way, const WallHold& hold,
                            std::span<const timber::FixingItem> sold);

// ---- shaping.cc -----------------------------------------------------------------------------------------------------

/// Cuts a profile (structure/profile.h) on an end, the shape on the side that looks `under`.
Result<void> shape_end(Structure& structure, PieceId piece, End end, const struct Profile& profile, Way under);

// ---- mirroring.cc ---------------------------------------------------------------------------------------------------

/// Copies the bodies to the other side of a plane square to `across` at `plane`, with all joints, fixings and footings
/// among them; left and right (front and back, for a plane square to y) change places in their names. Returns the
/// copies in order.
Result<std::vector<Body>> mirror(Structure& structure, const std::vector<Body>& bodies, Way across,
                                 const Traced& plane);

}  // namespace garthwright
