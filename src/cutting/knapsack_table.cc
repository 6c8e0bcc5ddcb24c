// SPDX-License-Identifier: Apache-2.0
#include "cutting/knapsack_table.h"

#include <algorithm>

#include "cutting/take_or_leave.h"

namespace garthwright::cutting {

void KnapsackTable::build(std::vector<Choice> choices, std::int64_t capacity, Work& work) {
  choices_ = std::move(choices);
  width_ = static_cast<std::size_t>(capacity + 1);
  const std::size_t n = choices_.size();
  if (cells_.size() < (n + 1) * width_) cells_.resize((n + 1) * width_);
  std::fill_n(cells_.begin() + static_cast<std::ptrdiff_t>(n * width_), width_, 0.0);
  const auto width = static_cast<std::int64_t>(width_);
  std::int64_t splits = 0;
  for (std::size_t j = n; j-- > 0;) {
    const Choice& c = choices_[j];
    const double* from = layer(j + 1);
    double* to = cells_.data() + j * width_;
    std::int64_t left = std::min(c.most, capacity / c.weight);
    if (left <= 0 || c.value <= 0) {
      std::copy_n(from, width_, to);
      continue;
    }
    int side = 0;
    for (std::int64_t k = 1; left > 0; k *= 2) {
      const std::int64_t now = std::min(k, left);
      left -= now;
      double* target = to;
      if (left > 0) {
        if (spare_[side].size() < width_) spare_[side].resize(width_);
        target = spare_[side].data();
        side = 1 - side;
      }
      take_or_leave(from, target, width, now * c.weight, static_cast<double>(now * c.value), kMore);
      from = target;
      ++splits;
    }
  }
  work.spend(splits * width);
}

void KnapsackTable::walk(std::int64_t capacity, std::vector<std::int64_t>& taken) const {
  for (std::size_t j = 0; j < choices_.size(); ++j) {
    const Choice& c = choices_[j];
    const double here = layer(j)[capacity];
    if (here == 0) return;
    const double* next = layer(j + 1);
    std::int64_t count = 0;
    while (next[capacity] + static_cast<double>(count * c.value) != here) {
      ++count;
      capacity -= c.weight;
    }
    taken[j] += count;
  }
}

std::vector<ItemCount> KnapsackTable::filling(std::int64_t capacity) const {
  std::vector<std::int64_t> taken(choices_.size(), 0);
  walk(capacity, taken);
  std::vector<ItemCount> items;
  for (std::size_t j = 0; j < taken.size(); ++j)
    if (taken[j] > 0) items.push_back({choices_[j].item, taken[j]});
  std::sort(items.begin(), items.end());
  return items;
}

std::int64_t KnapsackTable::value_with(std::size_t at, std::int64_t capacity) const {
  const Choice& c = choices_[at];
  if (c.weight > capacity || c.most < 1) return 0;
  return c.value + value(capacity - c.weight);
}

std::vector<ItemCount> KnapsackTable::filling_with(std::size_t at, std::int64_t capacity) const {
  std::vector<std::int64_t> taken(choices_.size(), 0);
  walk(capacity - choices_[at].weight, taken);
  taken[at] = std::min(taken[at] + 1, choices_[at].most);
  std::vector<ItemCount> items;
  for (std::size_t j = 0; j < taken.size(); ++j)
    if (taken[j] > 0) items.push_back({choices_[j].item, taken[j]});
  std::sort(items.begin(), items.end());
  return items;
}

}  // namespace garthwright::cutting
