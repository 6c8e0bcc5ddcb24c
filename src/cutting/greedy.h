// SPDX-License-Identifier: Apache-2.0
#pragma once

/// Plans made bar by bar, without regret. Each bar is the filling that brings most value for its cost; values are the
/// items' lengths, or prices learnt from earlier plans (sequential value correction, Mukhacheva 1993; see also
/// Belov and Scheithauer, INFORMS J. Computing 19, 2007).

#include <optional>
#include <span>
#include <vector>

#include "cutting/model.h"
#include "cutting/work.h"

namespace garthwright::cutting {

/// What is still wanted, and what may still be used for it.
struct Remainder {
  std::vector<std::int64_t> demand;  ///< by row
  std::vector<std::int64_t> limit;   ///< by bar
};

Remainder all_of(const Model& model);

/// Fills bars until nothing remains; none when limits run out first. `value` by row. With `anchored` every bar takes
/// the longest item that is still wanted; `thorough` looks longer for each bar's best filling.
std::optional<Plan> fill_by_value(const Model& model, Remainder remainder, std::span<const double> value, bool anchored,
                                  Work& work, bool thorough = false);

/// The best of several fillings (one, where few passes are asked for) and `passes` corrections of value; stops early at
/// `target` cost. `met` gets every pattern of every filling, repeats too.
std::optional<Plan> greedy_plan(const Model& model, const Remainder& remainder, int passes, std::int64_t target,
                                Work& work, std::vector<Pattern>* met = nullptr);

}  // namespace garthwright::cutting
