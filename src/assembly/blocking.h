// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "assembly/assembly.h"
#include "assembly/directions.h"
#include "assembly/piece_set.h"

/// Directional blocking graphs (Wilson & Latombe 1992, "On the qualitative structure of a mechanical assembly",
/// AAAI-92): for every way and piece, which others it runs into when it leaves along that way without end. A set of
/// pieces can leave along a way exactly when nothing outside the set stands in the row of one of its pieces.

namespace garthwright::assembly {

class Blocking {
 public:
  /// Ways must come in opposite pairs (see Ways). Cost: ways × pieces² × parts² line-by-slab cuts after a filter by
  /// bounds; `assembly` is not kept.
  Blocking(const Assembly& assembly, Ways ways);

  const Ways& ways() const { return ways_; }
  int piece_count() const { return pieces_; }

  /// The pieces that `piece` hits on its way out.
  const PieceSet& hit(int way, int piece) const { return hit_[way * pieces_ + piece]; }
  bool hits_site(int way, int piece) const { return site_[way * pieces_ + piece]; }

  /// Whether `piece` can leave `present` (of which it may be one) along `way`.
  bool can_leave(int way, int piece, const PieceSet& present, bool on_site) const {
    return !(on_site && hits_site(way, piece)) && !hit(way, piece).meets(present);
  }

 private:
  Ways ways_;
  int pieces_ = 0;
  std::vector<PieceSet> hit_;
  std::vector<char> site_;
};

}  // namespace garthwright::assembly
