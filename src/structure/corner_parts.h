// SPDX-License-Identifier: Apache-2.0
//
// Where parts bent from sheet sit: in a corner that faces of two bodies make, one leg on each. A hanger goes under what
// it carries.
#pragma once

#include <vector>

#include "structure/polygon.h"
#include "structure/structure.h"

namespace garthwright {

/// A fold's middle, and the ways its legs lie from there (unit): the first on the face of `first`, the next on the
/// other body's.
struct CornerPlace {
  Body first, next;
  Vec3 fold, leg, next_leg;
};

/// Up to `count` places for this part between two bodies that are joined, where the faces are broad enough and nothing
/// else is in the way. Those at the sides come first (in the middle of its depth a part is prised least), then below,
/// then above; of these the nearer to the structure's middle.
std::vector<CornerPlace> corner_places(const Structure& structure, const Joint& joint, const timber::FixingItem& part,
                                       int count);

}  // namespace garthwright
