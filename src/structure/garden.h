// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "structure/existing.h"
#include "structure/ground_levels.h"
#include "structure/structure.h"

namespace garthwright {

/// All there is on one ground: what every study reads. Parts that share posts are one structure (Structure::guests);
/// nothing else holds two parts together, so that each structure is a whole of its own for its frame and its order of
/// work, while purchase, holes, clashes and distances are the garden's.
struct Garden {
  std::vector<Structure> structures;
  std::vector<Existing> existing{};  ///< set on the ground where it stands
  Ground ground{};
};

}  // namespace garthwright
