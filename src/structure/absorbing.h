// SPDX-License-Identifier: Apache-2.0
//
// Several parts of a garden that share posts are one structure: one frame carries their loads, and what they share is
// bought, dug and counted once.
#pragma once

#include <vector>

#include "structure/structure.h"

namespace garthwright {

/// A post that a guest was lent, and the real one.
struct SharedPost {
  PieceId in_guest, in_host;
};

/// Moves all of `guest` into `host`, turned and shifted from where it stands in the garden; its names get the guest's
/// own name before them, and they are of the host's next part (Structure::guests). A shared post of the guest gives
/// what was cut into it to the host's and is left out, with its hole. Both stand at quarter turns to each other
/// (programming error). Returns the host's pieces by the guest's.
std::vector<PieceId> absorb(Structure& host, const Structure& guest, const std::vector<SharedPost>& shared);

/// A piece of one structure in the coordinates of another; they stand square to each other.
Piece seen_from(const Structure& viewer, const Structure& owner, PieceId piece);

/// What parts that share a post call it: "left post of right stub".
std::vector<std::string> also_called(const Structure& structure, PieceId post);

/// Whether two structures stand square to each other, so that one can absorb the other.
bool are_square(const Structure& a, const Structure& b);

}  // namespace garthwright
