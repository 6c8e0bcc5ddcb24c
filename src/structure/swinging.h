// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "structure/structure.h"
#include "structure/way.h"

namespace garthwright {

/// How a leaf hangs: its hinges are on the face that looks the way it opens, their pins half-way between leaf and post.
struct Hanging {
  std::string name;
  std::vector<Body> leaf;
  Body on;
  Way opens = Way::front;
  std::vector<double> levels;  ///< of the hinges, as heights of the structure
  double most_deg = 90;
};

/// Hangs the leaf: records the swing, gives its bodies their duty, and joins what the hinges are on to the post. Fails
/// where the leaf is not beside the post, and where a hinge has nothing of the leaf to be on.
Result<void> hang(Structure& structure, const Hanging& hanging);

/// A frame in the structure's coordinates, turned with the leaf by so much.
Frame turned(const Swing& swing, const Frame& frame, double degrees);

}  // namespace garthwright
