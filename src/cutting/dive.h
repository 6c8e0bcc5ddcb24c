// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>

#include "cutting/column_generation.h"

namespace garthwright::cutting {

/// Rounds the relaxation's solution to a plan: whole parts first, the rest by greedy filling.
std::optional<Plan> round_plan(const Model& model, const Relaxation& relaxation, const PatternPool& pool,
                               std::int64_t target, Work& work);

/// Fixes patterns one after another, each time with fresh columns for what remains. `relaxation` is used up.
/// `avoid`: a pattern that must not be the first fixed by its fraction (for another try), or -1. `first` receives it.
/// Ends early, with the best so far, once `until` work is spent.
std::optional<Plan> dive(const Model& model, Relaxation relaxation, PatternPool& pool, std::int64_t target,
                         const std::vector<int>& avoid, int* first, std::int64_t until, Work& work);

}  // namespace garthwright::cutting
