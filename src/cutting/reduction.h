// SPDX-License-Identifier: Apache-2.0
#pragma once

/// Problem -> Model and back.
///
/// n pieces of one bar need the sum of their lengths and n-1 kerfs. Adding one kerf to every piece and one to the bar
/// (less its trim) says exactly that, with no kerf left to think of: w' = w + kerf, L' = L - trim + kerf.

#include <utility>
#include <variant>
#include <vector>

#include "cutting/cutting.h"
#include "cutting/model.h"

namespace garthwright::cutting {

struct Reduction {
  Model model;
  /// By row: the pieces it stands for and how many of each. Equal pieces share a row.
  std::vector<std::vector<std::pair<int, std::int64_t>>> pieces_of_row;
  std::vector<int> way_of_item;
};

/// Why there is no model.
struct Refusal {
  Verdict verdict = Verdict::refused;  // refused or infeasible
  int piece = -1;
  Diagnostics diagnostics;
};

std::variant<Reduction, Refusal> reduce(const Problem& problem);

/// The plan in the caller's terms, surplus cuts left out, layouts in a fixed order.
std::vector<Layout> expand(const Problem& problem, const Reduction& reduction, const Plan& plan);

}  // namespace garthwright::cutting
