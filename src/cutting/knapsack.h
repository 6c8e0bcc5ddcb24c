// SPDX-License-Identifier: Apache-2.0
#pragma once

/// The bounded knapsack, by depth-first search on value density: what one bar is best cut into when every item has a
/// price. Exact in integers; the bound of Dantzig (1957) in doubles is rounded up by more than its error.
/// Values must stay below 2^50 in sum over one bar.

#include <cstdint>
#include <span>
#include <vector>

#include "cutting/model.h"
#include "cutting/work.h"

namespace garthwright::cutting {

struct Choice {
  std::int64_t weight = 0;
  std::int64_t value = 0;
  std::int64_t most = 0;
  int item = 0;
};

class Knapsack {
 public:
  /// Drops what has no value; sorts by density, ties by weight, then item.
  explicit Knapsack(const std::vector<Choice>& choices);

  /// Changes how often each item may be taken: `most(item)`. Cheaper than sorting anew.
  template <class Most>
  void limit(Most most) {
    ranked_.clear();
    for (const Ranked& r : all_) {
      ranked_.push_back(r);
      ranked_.back().most = most(r.item);
      if (ranked_.back().most <= 0) ranked_.pop_back();
    }
    weigh();
  }

  struct Answer {
    std::int64_t value = 0;  ///< best found above `floor`, else `floor`
    std::int64_t upper = 0;  ///< no filling is worth more
    bool exact = true;       ///< value == upper
    bool found = false;      ///< `items` holds a filling worth `value`
    std::vector<ItemCount> items;
  };

  /// Best filling of `capacity` worth more than `floor`. Gives up after `most_nodes`, with a bound.
  Answer best(std::int64_t capacity, std::int64_t floor, std::int64_t most_nodes, Work& work);

 private:
  struct Ranked : Choice {
    double density = 0;
    std::int64_t all_weigh = 0;  // taken as often as it may be
    std::int64_t lightest = 0;   // of the choices from here on
  };

  void weigh();
  void descend(std::size_t at, std::int64_t capacity, std::int64_t value);
  double bound(std::size_t at, std::int64_t capacity) const;

  std::vector<Ranked> all_, ranked_;  // all of value; those that may be taken
  std::vector<std::int64_t> taken_, best_taken_;
  std::int64_t best_ = 0, nodes_ = 0, most_nodes_ = 0, steps_ = 0;
};

/// Choices for a bar: what its family takes, each with value `price[row] * yield`, as often as `demand` wants.
std::vector<Choice> choices_for(const Model& model, int family, std::span<const std::int64_t> price,
                                std::span<const std::int64_t> demand);

}  // namespace garthwright::cutting
