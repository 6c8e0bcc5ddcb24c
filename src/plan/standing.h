// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "ground/study.h"
#include "strength/cases.h"
#include "strength/study.h"

namespace garthwright {

/// Whether it stands: timbers, joints and frame, then the holes under what the frame asks of each post.
struct Standing {
  strength::Report strength;
  ground::Report ground;
};
/// What the ground gives the posts of a structure, with its footings.
std::vector<strength::BaseSpring> ground_under(const Structure& structure, const Site& site);
/// What loads make give way in one state: timbers, notches, joints, holes.
std::vector<Check> what_gives(const Structure& structure, const Site& site, State::Kind state);
/// The frames that this is reckoned from; they look at the structures and the site, which must stay.
Result<std::vector<strength::Solved>> frames_of(const std::vector<Structure>& structures, const Site& site);
Standing standing(const std::vector<Structure>& structures, const Site& site);

}  // namespace garthwright
