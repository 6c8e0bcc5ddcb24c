// SPDX-License-Identifier: Apache-2.0
//
// Timbers sawn on a slope along a face, thinner towards an end: legs, post heads, handrails.
#pragma once

#include "structure/joinery.h"

namespace garthwright {

/// A taper of one long face: whole at `along` from the end, `off` thinner at the end itself (mm).
struct Tapering {
  PieceId piece;
  End end = End::start;
  Way face = Way::right;  ///< the face that slopes: the way it looks
  double along = 0, off = 0;
};

/// Saws it. Fails where no long face looks that way, where it would be longer than the timber, and where it and the
/// taper across from it leave less than 10 mm of the end.
Result<void> taper(Structure& structure, const Tapering& tapering);

/// A taper as it is marked and sawn.
struct Taper {
  Face face = Face::edge_low;
  double along = 0, off = 0;  ///< as Tapering
};

/// What the cut is where it leaves some of the end standing and slopes along one long face; none for a cut across.
std::optional<Taper> taper_of(const Piece& piece, const EndCut& cut);

}  // namespace garthwright
