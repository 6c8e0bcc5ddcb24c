// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "ground/study.h"
#include "strength/study.h"

namespace garthwright {

/// Whether it stands: timbers, joints and frame, then the holes under what the frame asks of each post.
struct Standing {
  strength::Report strength;
  ground::Report ground;
};
Standing standing(const std::vector<Structure>& structures, const Site& site);

}  // namespace garthwright
