// SPDX-License-Identifier: Apache-2.0
//
// Where the fixings go through a piece, and what is drilled in it for them: a bolt's hole, clearance under a head, a
// pilot for a thread, the counterbore that a head is let into.
#pragma once

#include <string>
#include <vector>

#include "structure/joint_index.h"
#include "structure/structure.h"

namespace garthwright::marking {

/// One fixing in one of the bodies it goes through. `hole` is in the piece's coordinates, its entry where the fixing
/// comes in: on the surface under its head, else where the body before it ends.
struct Drilling {
  int fixing = -1;                   ///< index into Structure::fixings
  std::size_t nth = 0;               ///< of the bodies it goes through, from the head
  Hole hole;                         ///< diameter 0: driven without drilling
  double counterbore = 0, sunk = 0;  ///< under the head; 0 where it is not let in
};

/// Of the fixings, as indices, that go through this piece.
std::vector<Drilling> drillings(const Structure& structure, const JointIndex& joints, PieceId piece,
                                const std::vector<int>& fixings);

}  // namespace garthwright::marking
