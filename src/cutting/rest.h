// SPDX-License-Identifier: Apache-2.0
#pragma once

/// What is left of a problem part of the way through a plan, as a problem of its own.

#include <vector>

#include "cutting/greedy.h"
#include "cutting/model.h"

namespace garthwright::cutting {

struct Rest {
  Model model;            ///< rows still wanted, their items, bars still at hand
  std::vector<int> item;  ///< by item of `model`: the whole's
  std::vector<int> bar;   ///< by bar of `model`: the whole's

  /// A plan of the rest in the whole's numbers.
  Plan in_whole(Plan plan) const;
};

Rest rest_of(const Model& whole, const Remainder& left);

}  // namespace garthwright::cutting
