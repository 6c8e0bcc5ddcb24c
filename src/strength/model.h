// SPDX-License-Identifier: Apache-2.0
//
// A Structure as a frame, fixing by fixing: a bar along the middle of every timber, and between two timbers' middles,
// on rigid offsets, a link for every fixing where it crosses from one into the other, and contacts wherever their faces
// touch, which push and never pull. A fixing slips across itself (EN 1995-1-1 Table 7.1) and holds when it is pulled;
// pushed, it leaves the work to the timbers. Halvings and notches bear on their shoulders. Nothing else resists
// turning. Stations of one timber nearer than its depth are one node. Timbers that no fixing ties to the rest, caps,
// battens and panels add weight and catch wind but carry nothing.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "frame/frame.h"
#include "strength/rectangle.h"
#include "structure/structure.h"

namespace garthwright::strength {

/// What the ground gives a post, N/mm and N·mm/rad, so far below its surface.
struct BaseSpring {
  double shift = 0, turn = 0, depth_mm = 0;
};

struct ModelOptions {
  bool with_braces = true;
  std::vector<BaseSpring> bases;  ///< with Structure::footings; none: held fast
  double person_height_mm = 1200;
  bool us_route = false;  ///< what end grain may be counted on for
};

/// A bar of a piece, from one station to the next.
struct Bar {
  PieceId piece;
  frame::MemberIndex member = 0;
  double from_mm = 0, to_mm = 0;  ///< along the piece
  /// Of one whose ends meet the same timber, which crosses it: the next bars on either side (indices into Model::bars;
  /// none where the piece ends). Within a crossing forces go from face to face and to the fixings in it, for which its
  /// bearing, its splitting and its fixings are checked; shear is told beside it (EN 1995-1-1 8.1.4, F_v,Ed).
  std::optional<std::vector<std::size_t>> beside{};
};

/// A fixing where it crosses from one body of a joint to the other: a link across itself, and a contact the other way
/// round, which is what holds when it is pulled and goes slack when it is not. Two halves of a bent part.
struct Crossing {
  JointId joint;
  int fixing = 0;  ///< index into Structure::fixings
  std::size_t link = 0;
  std::optional<std::size_t> tie;  ///< index into Frame::contacts; none where the link itself holds along
};

/// A face on which the two bodies of a joint press: where they lie on one another, or a shoulder of a notch.
struct Bearing {
  JointId joint;
  std::vector<Vec3> face;  ///< convex, world
  Vec3 normal;
};

/// Part of a face's normal that is upright from which on one timber lies on the other; the rest are pressed sideways.
inline constexpr double kLies = 0.7;
/// A push farther out than this part of the way from a face's middle to its edge is taken to press there: the frame has
/// it at 0.94, where wood is not crushed yet; crushed, it turns a little farther and bears farther in. The couple that
/// it makes has nine tenths of its arm then, which is asked of nothing else. Our own.
inline constexpr double kPressesWithin = 0.85;

/// A place where the two bodies of a joint press on each other; on the second of the frame's contact along its normal.
struct Pressed {
  JointId joint;
  std::size_t contact = 0;
  bool on_b = true;  ///< the frame's second node is of joint.b
  bool shoulder = false;
  std::size_t bearing = 0;  ///< index into Model::bearings
};

struct Base {
  int footing = -1;  ///< index into Structure::footings; -1: a wall, or below a loose foot
  std::size_t support = 0;
  PieceId post;
  double depth_mm = 0;  ///< of the support below the ground
};

/// What is below a loose foot: it pushes and never pulls.
struct StoodOn {
  int foot = 0;  ///< index into Structure::feet
  std::size_t support = 0;
  double area_mm2 = 0;
};

struct Model {
  frame::Frame frame;                 ///< for forces: fixings slip by K_u (EN 1995-1-1 2.2.2)
  std::vector<double> across_in_use;  ///< of each link: k_across by K_ser, for movements
  std::vector<Bar> bars;
  std::vector<Crossing> crossings;
  std::vector<Pressed> pressed;
  std::vector<Bearing> bearings;
  std::vector<Base> bases;
  std::vector<StoodOn> stood_on;
  std::vector<bool> carries;                        ///< of each piece
  std::vector<std::vector<PieceId>> carried_panel;  ///< pieces that hold each panel
  std::vector<std::vector<PieceId>> carried_piece;  ///< pieces that hold each piece that carries nothing
  /// Nearest node of a piece to a place along it.
  frame::NodeIndex node_at(PieceId piece, double along_mm) const;
  /// The frame as it moves in use.
  frame::Frame in_use() const;
  std::vector<std::vector<std::pair<double, frame::NodeIndex>>> stations;  ///< of each piece, sorted
  std::vector<bool> joined;   ///< of each node: a fixing or a pressed face is there
  std::vector<Body> body_of;  ///< of each node: the piece, the wall or the ground that it is of
};

Model model_of(const Structure& structure, const ModelOptions& options);

/// Unit vector and middle line of a piece.
Vec3 middle_at(const Piece& piece, double along_mm);

/// Mean stiffness E and shear modulus G of a section's timber, N/mm².
struct Stiffness {
  double e = 0, e_across = 0, g = 0, rho_mean = 0, rho_k = 0;
};
Stiffness stiffness_of(const timber::Section& section);

}  // namespace garthwright::strength
