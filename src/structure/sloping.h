// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <functional>
#include <string>
#include <utility>
#include <vector>

#include "structure/structure.h"

namespace garthwright {

/// How high the ground stands at a post, mm above the structure's own zero (below it: negative), traced.
struct GroundLevel {
  std::string post;  ///< Piece::where of the post
  Traced level;
  Place where;
};

/// The level of the ground at a place, in the structure's own coordinates.
using GroundAt = std::function<Traced(double x, double y)>;

/// Sets the structure on sloping ground: its top stays level, each post goes as deep below the ground where it stands
/// as before, so posts over a hollow grow longer and those on a rise shorter. The ground at a post is the level given
/// for it, else as `ground` says (none: 0). Call before the marks are given. Fails on a post that there is not (naming
/// those there are) and where a rise would leave nothing of a post; `remarks` tells of timbers that the ground would
/// reach.
Result<void> stand_on_slope(Structure& structure, const std::vector<GroundLevel>& levels, const GroundAt& ground,
                            Diagnostics& remarks, const Place& where = {});

}  // namespace garthwright
