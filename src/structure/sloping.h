// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "structure/structure.h"

namespace garthwright {

/// How high the ground stands at a post, mm above the structure's own zero (below it: negative).
struct GroundLevel {
  std::string post;  ///< Piece::where of the post
  double level = 0;
  Place where;
};

/// Sets the structure on sloping ground: its top stays level, each post goes as deep below the ground where it stands
/// as before, so posts over a hollow grow longer and those on a rise shorter. Call before the marks are given. Fails on
/// a post that there is not (naming those there are) and where a rise would leave nothing of a post; `remarks` tells of
/// timbers that the ground would reach.
Result<void> stand_on_slope(Structure& structure, const std::vector<GroundLevel>& levels, Diagnostics& remarks);

}  // namespace garthwright
