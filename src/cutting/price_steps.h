// SPDX-License-Identifier: Apache-2.0
#pragma once

/// Where the price jumps: least cost as a step function of one number that lengths depend on.
///
/// If no piece gets shorter or fewer as x grows (stock unchanged), least cost never falls: a plan for x serves every
/// smaller x. So a plan found at x proves its cost up to the greatest x at which it still fits, and equal costs at two
/// ends prove all between. What is left is halved. Every step is found; none is sampled past.

#include <cstdint>
#include <functional>
#include <vector>

#include "cutting/cutting.h"

namespace garthwright::cutting {

/// For every x from `from` to `to` (both included) least cost is `cost`; where it could not be proven, it lies between
/// `lower_bound` and `cost`.
struct PriceStep {
  std::int64_t from = 0;
  std::int64_t to = 0;
  std::int64_t cost = 0;
  std::int64_t lower_bound = 0;

  bool proven() const { return cost == lower_bound; }
  bool operator==(const PriceStep&) const = default;
};

struct PriceSteps {
  std::vector<PriceStep> steps;  ///< ascending, without gaps; ends where no plan exists any more
  std::int64_t solves = 0;
  double seconds = 0;
  Diagnostics diagnostics;  ///< why the steps end before `high`, or why there are none

  bool proven() const;
};

/// `problem_at(x)` for low <= x <= high, monotone as above. The work limit of `options` is for each solve.
PriceSteps price_steps(const std::function<Problem(std::int64_t)>& problem_at, std::int64_t low, std::int64_t high,
                       const Options& options = {});

/// The length of one piece runs.
PriceSteps price_steps(const Problem& problem, int piece, std::int64_t low, std::int64_t high,
                       const Options& options = {});

}  // namespace garthwright::cutting
