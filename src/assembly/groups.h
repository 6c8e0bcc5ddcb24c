// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "assembly/blocking.h"
#include "assembly/contacts.h"
#include "assembly/piece_set.h"

/// Which pieces have to go together. In one way of motion, "hits" is a directed graph; the least set that contains a
/// piece and can leave is what is reached from it. When every piece of a group reaches all of it, for every way, the
/// graph is strongly connected each time and no part of the group can leave the rest by one straight move.

namespace garthwright::assembly {

/// A group under consideration: some pieces, and whether the site (and with it every fixed piece) holds it.
struct Group {
  PieceSet pieces;
  bool on_site = false;

  auto operator<=>(const Group&) const = default;
};

/// ties[i]: the pieces that cannot be parted from i, whatever the motion (empty vector: none).
using Ties = std::vector<PieceSet>;

/// The least subset with `piece` that nothing outside hinders; nothing when that takes in a piece that is `held`, or
/// has more than `most` pieces.
std::optional<PieceSet> carried_along(int piece, const PieceSet& group, const Ties& ties,
                                      const std::function<PieceSet(int)>& hits, const std::function<bool(int)>& held,
                                      int most);

/// carried_along for motions without end along ways[way]; off the site never the whole group.
std::optional<PieceSet> leaving_with(int piece, int way, const Group& group, const PieceSet& fixed,
                                     const Blocking& blocking, const Ties& ties, int most);

/// carried_along for the first fraction of a millimetre along `way`.
std::optional<PieceSet> starting_with(int piece, Vec3 way, const Group& group, const PieceSet& fixed,
                                      const Contacts& contacts, const Ties& ties);

/// Number of clusters that touch; the site joins what stands on it.
int cluster_count(const Group& group, const PieceSet& fixed, const Contacts& contacts);

}  // namespace garthwright::assembly
