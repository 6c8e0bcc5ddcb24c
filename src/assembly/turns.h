// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>

#include "assembly/assembly.h"
#include "assembly/directions.h"

/// How often must the growing whole be turned over? In an attitude (one of the six sides underneath) pieces come one by
/// one from the side or from above, never from below, and none reaches below the floor that the present ones touch; a
/// fastener is driven when its tool fits above that floor.

namespace garthwright::assembly {

struct TurnsQuestion {
  Vec3 final_down{0, 0, -1};
  std::optional<Vec3> first_down;  ///< free unless given
};

struct LeastTurns {
  std::optional<int> turns;  ///< nothing when no order of single pieces works at all
  bool proved = false;       ///< false only when the search was cut short
};

struct TurnsLimits {
  long states = 2'000'000;
};

/// Exact over all orders of single pieces, each coming by one shift along `ways`. Work is done wherever there is room,
/// so the site counts only when a piece is fixed to it; then the whole cannot be turned, and stays upright.
LeastTurns least_turns(const Assembly& assembly, const Ways& ways, const TurnsQuestion& question,
                       TurnsLimits limits = {});

}  // namespace garthwright::assembly
