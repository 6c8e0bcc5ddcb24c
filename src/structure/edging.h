// SPDX-License-Identifier: Apache-2.0
//
// What is sawn into a narrow edge of a timber along a path, through its whole thickness.
#pragma once

#include "structure/structure.h"
#include "structure/way.h"

namespace garthwright {

/// Lets a sloping rafter down on a level plate with a bird's mouth: a level cut, the seat, over the plate, and a plumb
/// one, the heel, against its side. Only the rafter is cut. Where one bird's mouth lies over two lengths of a plate it
/// is cut once. Fails where the plate does not run square to the rafter's slope, where it does not reach into the
/// rafter's edge with one corner, and where the two do not come above each other.
Result<JointId> birds_mouth(Structure& structure, PieceId rafter, PieceId plate);

/// An arc hollowed into the edge that looks `face`, or nearest to it: it begins and ends `off` from where the ends'
/// cuts meet that edge, and is `deep` in its middle.
struct Hollowing {
  PieceId piece;
  Way face = Way::down;
  Traced off, deep;
  LengthStyle print{};  ///< how lengths are written in what is said
};
/// Fails where no narrow edge looks that way ("bad-hollow"), where it is deeper than a third of the timber
/// ("deep-hollow"), and where what is left between the two ends is shorter than four times its depth.
Result<void> hollow(Structure& structure, const Hollowing& hollowing);

}  // namespace garthwright
