// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <functional>

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
/// What loads make give way: timbers, notches, joints, holes. One structure under sites that differ in wind, snow,
/// exposure and plants alone.
class WhatGives {
 public:
  WhatGives(const Structure& structure, const Site& site);
  std::vector<Check> under(const Site& site, const strength::Asking& asking);
  /// All checks, as standing() has them.
  std::vector<Check> all(const Site& site);
  /// What the posts asked of their holes in what was last reckoned; empty where there was no frame.
  const std::vector<ground::PostLoad>& asked_of_holes() const { return loads_; }

 private:
  const Structure& structure_;
  std::vector<strength::BaseSpring> bases_;
  Result<strength::Carcass> carcass_;
  std::vector<ground::PostLoad> loads_;
};
/// What is `bad` of what loads make give way in one of these situations.
std::optional<Check> giving_in(WhatGives& what, const Site& site, const std::function<bool(const Check&)>& bad,
                               const std::vector<Situation>& situations);
/// The same, in the situations `begin` first, then state by state.
std::optional<Check> first_giving(WhatGives& what, const Site& site, const std::function<bool(const Check&)>& bad,
                                  const std::vector<Situation>& begin);
std::vector<Check> what_gives(const Structure& structure, const Site& site, State::Kind state);

/// A check of a structure that is `bad`, found as soon as may be: in the situations `begin` first, then state by state,
/// then among all checks. None when, and only when, standing() has none. `asked`, when given, becomes what the posts
/// ask of their holes in what was reckoned last.
std::optional<Check> first_bad(const Structure& structure, const Site& site,
                               const std::function<bool(const Check&)>& bad, const std::vector<Situation>& begin = {},
                               std::vector<ground::PostLoad>* asked = nullptr);

/// The frames that this is reckoned from; they look at the structures and the site, which must stay.
Result<std::vector<strength::Solved>> frames_of(const Garden& garden, const Site& site);
Standing standing(const Garden& garden, const Site& site);

}  // namespace garthwright
