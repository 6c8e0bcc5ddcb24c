// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sequence/kit.h"

/// In which order things can be put together at one workplace: as a partial order, of which every line-up will do.
///
/// Found backwards (taking away never takes freedom away, so no choice made on the way can lead into a dead end by
/// geometry): what can leave along a free way, whose fixings can all be undone, and which carries nothing that is still
/// there, goes first. From each thing's way then follows who must come after it, from each fixing's tool whom it must
/// be driven before.

namespace garthwright::sequence {

/// What goes in as one: a loose body, or a whole sub-assembly.
struct Item {
  std::vector<int> bodies;
  PieceSet set;
  int unit = -1;
  bool grounded = false;  ///< carried by the ground or a wall
};

struct Problem {
  std::vector<Item> items;
  std::vector<int> fixings;  ///< to be driven here
  bool on_site = true;
  Vec3 down{0, 0, -1};
};

struct Order {
  std::vector<int> sequence;             ///< items, first to last: one line-up that will do
  std::vector<Vec3> way_in;              ///< of each item, unit
  std::vector<std::vector<int>> before;  ///< of each item: the items that must be there before it
  std::vector<int> fastener;             ///< for each of Problem::fixings
  std::vector<char> late;                ///< for each: driven when all is there and turned over (off the site only)

  /// When there is none: items that keep each other out, or fixings no tool reaches.
  std::vector<int> stuck_items, stuck_fixings;
  bool found() const { return stuck_items.empty() && stuck_fixings.empty(); }
};

/// Tiers: 0 is carried by ground or wall, the next is fixed to those, and so on. What stands between a body and the
/// ground is there before it, unless that leaves no order at all; then one of its carriers must do.
std::vector<int> tiers(const Kit& kit, const Problem& problem);

Order find_order(const Kit& kit, const Tables& tables, const Problem& problem);

}  // namespace garthwright::sequence
