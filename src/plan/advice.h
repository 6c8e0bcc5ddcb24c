// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "plan/plan.h"

namespace garthwright {

/// Gives every failing check of timbers and joints the smallest change that passes, found by building the structure
/// again with it and running the checks: the next section that the yard sells, one more fixing, a brace. Where none of
/// what was tried is enough, says so. The worst come first: each trial takes a study's time, at most kMostTrials in
/// all.
void add_advice(Plan& plan, const pattern::Shelves& shelves);
inline constexpr int kMostTrials = 12;

}  // namespace garthwright
