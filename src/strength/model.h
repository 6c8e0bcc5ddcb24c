// SPDX-License-Identifier: Apache-2.0
//
// A Structure as a frame: a bar along the middle of every timber, parted where joints come, and every fixed joint a
// short stiff bar between two middles with the springs of its fixings (slip moduli, EN 1995-1-1 Table 7.1). Timbers
// that no fixing ties to the rest, and panels, add weight and catch wind but carry nothing. Stations of one timber that
// are nearer than 3 mm are one node.
#pragma once

#include <array>
#include <vector>

#include "frame/frame.h"
#include "strength/rectangle.h"
#include "structure/structure.h"

namespace garthwright::strength {

/// What the ground gives a post, N/mm and N·mm/rad, so far below its surface.
struct BaseSpring {
  double shift = 0, turn = 0, depth_mm = 0;
};

enum class JointHold { by_fixings, pinned };

struct ModelOptions {
  JointHold hold = JointHold::by_fixings;
  bool with_braces = true;
  std::vector<BaseSpring> bases;  ///< with Structure::footings; none: held fast
  double person_height_mm = 1200;
};

/// A bar of a piece, from one station to the next.
struct Bar {
  PieceId piece;
  frame::MemberIndex member = 0;
  double from_mm = 0, to_mm = 0;  ///< along the piece
};

/// The bar that stands for a fixed joint.
struct Link {
  JointId joint;
  frame::MemberIndex member = 0;
  std::vector<int> fixings;  ///< indices into Structure::fixings
  std::array<Vec3, 3> axes;  ///< the bar's own x (from a to b), y, z, in the world
};

struct Base {
  int footing = -1;  ///< index into Structure::footings; -1: a wall
  std::size_t support = 0;
  PieceId post;
  double depth_mm = 0;  ///< of the support below the ground
};

struct Model {
  frame::Frame frame;
  std::vector<Bar> bars;
  std::vector<Link> links;
  std::vector<Base> bases;
  std::vector<bool> carries;                        ///< of each piece
  std::vector<std::vector<PieceId>> carried_panel;  ///< pieces that hold each panel
  std::vector<std::vector<PieceId>> carried_piece;  ///< pieces that hold each piece that carries nothing
  /// Nearest node of a piece to a place along it.
  frame::NodeIndex node_at(PieceId piece, double along_mm) const;
  std::vector<std::vector<std::pair<double, frame::NodeIndex>>> stations;  ///< of each piece, sorted
  std::vector<bool> joined;                                                ///< of each node: a link ends there
};

Model model_of(const Structure& structure, const ModelOptions& options);

/// Unit vector and middle line of a piece.
Vec3 middle_at(const Piece& piece, double along_mm);

/// Mean stiffness E and shear modulus G of a section's timber, N/mm².
struct Stiffness {
  double e = 0, g = 0, rho_mean = 0, rho_k = 0;
};
Stiffness stiffness_of(const timber::Section& section);

}  // namespace garthwright::strength
