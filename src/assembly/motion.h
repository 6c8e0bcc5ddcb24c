// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <vector>

#include "assembly/directions.h"

/// Ways out that need more than one straight shift.

namespace garthwright::assembly {

/// Finite shifts one after the other from the place in the whole, then away along `exit` without end.
struct WayOut {
  std::vector<Vec3> shifts;
  Vec3 exit;
};

struct MotionSearch {
  std::optional<WayOut> way_out;
  /// Whether a "no" is proved. For boxes square to the axes the search is complete: every path among open boxes can be
  /// pulled into one along the lines of their faces. For other solids it is complete only along the ways tried.
  bool exhausted = false;
  long cuts = 0;  ///< line-by-slab tests it took
};

struct MotionLimits {
  long cuts = 200'000'000;  ///< line-by-slab tests before giving up
};

/// The way out of `moving`, shifted as one, past `still`, with the fewest shifts. `ways` are tried in order, so that
/// the first listed wins among equals; pass axis_ways() and whatever the contacts suggest.
MotionSearch find_way_out(const std::vector<const ConvexPart*>& moving, const std::vector<const ConvexPart*>& still,
                          const Ways& ways, double touch, MotionLimits limits = {});

}  // namespace garthwright::assembly
