// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "structure/structure.h"

namespace garthwright {

/// Gives equal pieces one mark: a letter for each kind of member in the order they first appear (A posts, B rails …), a
/// number for each different shape. Pieces are equal when section, length and machining agree to 0.001 mm after turning
/// the timber about its own axes (three half turns); mirror images are not equal. Equal pieces are re-framed so that
/// their machining reads the same from the same datum end, whatever way round they were placed.
/// Two structures of one job take letters one after the other from `first_letter`; returns the next free letter.
int assign_marks(Structure& structure, int first_letter = 0);

/// The piece as it lies and turned about its own axes, wherever its machining reads the same: the ways in which one
/// drawing of it may be taken for it. It comes first as it is, then those from the same end.
std::vector<Piece> equal_turns(const Piece& piece);

/// The pieces of one mark, in order.
struct MarkGroup {
  std::string mark;
  std::vector<PieceId> pieces;
};

/// All marks of a structure in order (A1, A2, B1 …).
std::vector<MarkGroup> marks(const Structure& structure);

}  // namespace garthwright
