// SPDX-License-Identifier: Apache-2.0
//
// What a structure goes through: the actions of its site, each a load on the frame, and their combinations by EN 1990
// or ASCE 7-16 in every state of the garden.
#pragma once

#include <utility>
#include <vector>

#include "strength/combinations.h"
#include "strength/site_loads.h"
#include "structure/check.h"

namespace garthwright::strength {

/// One combination in one state: actions (indices into Situations::actions) and what each is multiplied by.
struct Case {
  Situation when;
  const combinations::Combination* combination = nullptr;
  std::vector<std::pair<std::size_t, double>> parts;
  std::size_t solution = 0;  ///< index into Solved::solutions
  bool roof_alone = false;   ///< judges the roof's own timbers and their fixings, nothing that they stand on
};

/// Of the actions, so many come first that last: weight, plants, soil.
inline constexpr std::size_t kLasting = 3, kDead = 0, kSoil = 2;

struct Situations {
  std::vector<frame::Loads> actions;
  std::vector<Case> ultimate;     ///< strength: EN 1990 set B, ASCE 7-16 2.4.1
  std::vector<Case> equilibrium;  ///< overturning and uplift alone: EN 1990 set A, ASCE 7-16 2.4.1 (7)
  std::vector<Case> service;
  std::vector<bool> roof;      ///< of each piece: is of the layer that the roof's own cases judge
  std::size_t grown_wind = 0;  ///< index of wind along x on the overgrown structure
};
/// `only`: of one state alone; any: of all. The years of growth between are in strength/growing.h.
Situations situations_of(const SiteLoads& loads, const Site& site, State::Kind only = State::Kind::any);

}  // namespace garthwright::strength
