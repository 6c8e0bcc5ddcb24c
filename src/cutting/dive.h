// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <vector>

#include "cutting/column_generation.h"

namespace garthwright::cutting {

/// Rounds the relaxation's solution to a plan: whole parts first, the rest by greedy filling. Thorough: several
/// fillings, and the greatest fractions rounded up one after another.
std::optional<Plan> round_plan(const Model& model, const Relaxation& relaxation, const PatternPool& pool,
                               std::int64_t target, bool thorough, Work& work);

/// A way down: what was taken in order, and what was left before each step.
struct Dive {
  struct Step {
    std::size_t uses = 0;  ///< of `taken`, before the step
    std::int64_t cost = 0;
    Remainder left;
  };

  std::optional<Plan> best;
  Plan taken;
  std::vector<Step> steps;
  bool chose = false;  ///< a pattern was fixed by its fraction: another way may end elsewhere
};

/// What was taken before a step, and a plan of what was left then.
Plan with_end(const Plan& taken, const Dive::Step& step, const Plan& end);

/// Fixes patterns one after another, each time with fresh columns for what remains. `relaxation` is used up. Ends
/// early, with the best so far, once `until` work is spent.
Dive dive(const Model& model, Relaxation relaxation, PatternPool& pool, std::int64_t target, Work& work);

}  // namespace garthwright::cutting
