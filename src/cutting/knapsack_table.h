// SPDX-License-Identifier: Apache-2.0
#pragma once

/// The bounded knapsack by table: for every item j and every capacity c the most value of items j, j+1, ... in c.
/// One table prices every bar of a family at once, gives patterns that must hold a given item, and is the exact bound
/// for listing all fillings above a value. Values are whole numbers held in doubles (exact below 2^53).

#include <cstdint>
#include <functional>
#include <vector>

#include "cutting/knapsack.h"
#include "cutting/work.h"

namespace garthwright::cutting {

class KnapsackTable {
 public:
  /// Cells needed for `choices` distinct items up to `capacity`.
  static std::int64_t cells(std::size_t choices, std::int64_t capacity) {
    return (static_cast<std::int64_t>(choices) + 1) * (capacity + 1);
  }

  /// Choices keep their order; worthless ones may stay. Memory is kept from table to table.
  void build(std::vector<Choice> choices, std::int64_t capacity, Work& work);

  std::int64_t value(std::int64_t capacity) const { return static_cast<std::int64_t>(layer(0)[capacity]); }
  std::vector<ItemCount> filling(std::int64_t capacity) const;
  /// Best filling that holds choice `at` at least once, and its value; items beyond `most` are left out.
  std::int64_t value_with(std::size_t at, std::int64_t capacity) const;
  std::vector<ItemCount> filling_with(std::size_t at, std::int64_t capacity) const;

  const std::vector<Choice>& choices() const { return choices_; }
  /// Most value of choices from `at` on.
  double suffix(std::size_t at, std::int64_t capacity) const { return layer(at)[capacity]; }

 private:
  const double* layer(std::size_t at) const { return cells_.data() + at * width_; }
  void walk(std::int64_t capacity, std::vector<std::int64_t>& taken) const;

  std::vector<Choice> choices_;
  std::size_t width_ = 0;
  std::vector<double> cells_, spare_[2];
};

}  // namespace garthwright::cutting
