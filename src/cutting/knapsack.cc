// SPDX-License-Identifier: Apache-2.0
#include "cutting/knapsack.h"

#include <algorithm>
#include <limits>

namespace garthwright::cutting {

Knapsack::Knapsack(std::vector<Choice> choices) : choices_(std::move(choices)) {
  std::erase_if(choices_, [](const Choice& c) { return c.value <= 0 || c.most <= 0; });
  std::sort(choices_.begin(), choices_.end(), [](const Choice& a, const Choice& b) {
    const auto left = static_cast<__int128>(a.value) * b.weight, right = static_cast<__int128>(b.value) * a.weight;
    if (left != right) return left > right;
    return a.weight != b.weight ? a.weight > b.weight : a.item < b.item;
  });
  const std::size_t n = choices_.size();
  facts_.resize(n + 1);
  facts_[n].lightest = std::numeric_limits<std::int64_t>::max();
  for (std::size_t j = n; j-- > 0;) {
    const Choice& c = choices_[j];
    facts_[j].density = static_cast<double>(c.value) / static_cast<double>(c.weight);
    facts_[j].all_weigh = c.weight * c.most;
    facts_[j].lightest = std::min(facts_[j + 1].lightest, c.weight);
  }
  taken_.assign(n, 0);
}

double Knapsack::bound(std::size_t at, std::int64_t capacity) const {
  const std::int64_t room = capacity;
  std::int64_t value = 0;
  for (; at < choices_.size(); ++at) {
    const Choice& c = choices_[at];
    if (facts_[at].all_weigh <= capacity) {
      value += c.most * c.value;
      capacity -= facts_[at].all_weigh;
      continue;
    }
    if (c.weight > room) continue;  // cannot be taken at all
    const std::int64_t count = capacity / c.weight;
    return static_cast<double>(value + count * c.value) +
           static_cast<double>(capacity - count * c.weight) * facts_[at].density * (1 + 1e-12) + 1;
  }
  return static_cast<double>(value);
}

void Knapsack::descend(std::size_t at, std::int64_t capacity, std::int64_t value) {
  if (value > best_) {
    best_ = value;
    best_taken_ = taken_;
    best_taken_.resize(choices_.size());
    std::fill(best_taken_.begin() + static_cast<std::ptrdiff_t>(at), best_taken_.end(), 0);
  }
  while (at < choices_.size() && choices_[at].weight > capacity) {
    if (facts_[at].lightest > capacity) return;
    taken_[at++] = 0;
  }
  if (at == choices_.size() || ++nodes_ > most_nodes_) return;
  const Choice& c = choices_[at];
  for (std::int64_t count = std::min(c.most, capacity / c.weight); count >= 0; --count) {
    const std::int64_t left = capacity - count * c.weight, now = value + count * c.value;
    steps_ += 2;
    if (static_cast<double>(now) + bound(at + 1, left) <= static_cast<double>(best_)) {
      if (count == 0) break;
      // Fewer of the densest only lowers the plain bound; once that fails nothing below can succeed.
      const double next = at + 1 < choices_.size() ? facts_[at + 1].density : 0;
      if (static_cast<double>(now) + static_cast<double>(left) * next * (1 + 1e-12) + 1 <= static_cast<double>(best_))
        break;
      if (now <= best_ && ++nodes_ > most_nodes_) return;
      continue;
    }
    taken_[at] = count;
    descend(at + 1, left, now);
    if (nodes_ > most_nodes_) return;
  }
  taken_[at] = 0;
}

Knapsack::Answer Knapsack::best(std::int64_t capacity, std::int64_t floor, std::int64_t most_nodes, Work& work) {
  best_ = floor;
  nodes_ = steps_ = 0;
  most_nodes_ = most_nodes;
  best_taken_.clear();
  descend(0, capacity, 0);
  work.spend(10 + 10 * nodes_ + steps_);
  Answer answer;
  answer.value = best_;
  answer.exact = nodes_ <= most_nodes_;
  answer.upper = answer.exact ? best_ : std::max(best_, static_cast<std::int64_t>(bound(0, capacity)) + 1);
  answer.found = !best_taken_.empty();
  for (std::size_t j = 0; j < best_taken_.size(); ++j)
    if (best_taken_[j] > 0) answer.items.push_back({choices_[j].item, best_taken_[j]});
  std::sort(answer.items.begin(), answer.items.end());
  return answer;
}

std::vector<Choice> choices_for(const Model& model, int family, std::span<const std::int64_t> price,
                                std::span<const std::int64_t> demand) {
  std::vector<Choice> choices;
  choices.reserve(model.items.size());
  for (std::size_t j = 0; j < model.items.size(); ++j) {
    const Item& item = model.items[j];
    if (!model.families[family].takes[j] || price[item.row] <= 0) continue;
    choices.push_back({item.length, price[item.row] * item.yield, (demand[item.row] + item.yield - 1) / item.yield,
                       static_cast<int>(j)});
  }
  return choices;
}

}  // namespace garthwright::cutting
