// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "assembly/assembly.h"
#include "assembly/piece_set.h"

/// Can a fastener be driven? A tool's use volume must be free while it is at work (Wilson 1998, "Geometric reasoning
/// about assembly tools", Artificial Intelligence 98:237-279): free of pieces, of the site, and above the floor.
/// All of it is worked out once; a question is then one AND of two sets and a comparison.

namespace garthwright::assembly {

enum class Fit { fits, piece_missing, piece_in_way, site_in_way, below_floor };

/// The tool's volume as a solid. Square to the axes when `out` is along one.
ConvexPart solid_of(const ToolRoom& room);

class Access {
 public:
  /// Keeps pointers to the pieces: `assembly` must outlive it.
  explicit Access(const Assembly& assembly);

  /// With exactly `present` there, lying with `down` underneath on a floor that touches them. `down` is a unit vector.
  Fit fit(int fastener, const PieceSet& present, Vec3 down, bool on_site) const;

  const PieceSet& joined(int fastener) const { return joined_[fastener]; }
  const PieceSet& in_way(int fastener) const { return in_way_[fastener]; }

  /// How far the present pieces reach towards `down`; minus infinity when there are none.
  double floor_level(const PieceSet& present, Vec3 down) const;

  /// How far one piece reaches towards `down`.
  double reach(int piece, Vec3 down) const;

 private:
  std::vector<const Piece*> pieces_;
  std::vector<Box> boxes_;
  std::vector<PieceSet> joined_, in_way_;
  std::vector<char> site_in_way_;
  std::vector<ConvexPart> rooms_;           ///< each once, however many fasteners take it
  std::vector<std::vector<int>> rooms_of_;  ///< of each fastener
  double touch_;
};

}  // namespace garthwright::assembly
