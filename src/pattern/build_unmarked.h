// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <set>
#include <string>
#include <vector>

#include "pattern/job.h"
#include "pattern/sharing.h"

namespace garthwright::pattern {

/// As build() in job.h, before its pieces have marks. `lent`: posts of others, and then what was asked of each; none
/// where the order stands by itself. `raised`: how high others want its own posts. `read`: the choices that the pattern
/// looked at.
Result<Built> build_unmarked(const Job& job, const Order& order, const Shelves& shelves, std::vector<LentPost>* lent,
                             const std::vector<RaisedPost>& raised, std::set<std::string>* read = nullptr);

}  // namespace garthwright::pattern
