// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "base/geometry.h"

namespace garthwright {

/// What is there already: kept clear of, never bought or built. A tree is a round trunk about `at`; anything else a box
/// whose front left corner is `at`, turned about it. From the ground up.
struct Existing {
  enum class Kind { post, tree, shed, wall };
  Kind kind = Kind::shed;
  std::string name;  ///< "old apple tree"
  Vec3 at;           ///< in the garden
  double turn_deg = 0;
  double width = 0, depth = 0, height = 0;  ///< a tree's width is its diameter
};

}  // namespace garthwright
