// SPDX-License-Identifier: Apache-2.0
#pragma once

/// What to wish for once the cost is settled, one goal after the other and never traded against cost: first the longest
/// off-cut left over, then the fewest different layouts. Each says for itself whether it is proven.

#include "cutting/cutting.h"

namespace garthwright::cutting {

struct SecondGoals {
  Result result;                       ///< a plan of the same cost
  std::int64_t longest_rest = 0;       ///< greatest Layout::rest
  bool longest_rest_proven = false;    ///< no plan of that cost leaves a longer off-cut of a bar that was paid for
  int layouts = 0;                     ///< different ones
  bool fewest_layouts_proven = false;  ///< no plan of that cost and that off-cut has fewer; else the fewest found
  std::int64_t solves = 0;
};

/// `result` must hold a plan; its proof is passed on. The work limit of `options` is for each of the solves, some ten
/// to a hundred: the rest is searched by halving.
SecondGoals pursue_second_goals(const Problem& problem, const Result& result, const Options& options = {});

}  // namespace garthwright::cutting
