// SPDX-License-Identifier: Apache-2.0
#include "cutting/knapsack.h"

#include <algorithm>
#include <limits>

namespace garthwright::cutting {

Knapsack::Knapsack(const std::vector<Choice>& choices) {
  all_.reserve(choices.size());
  for (const Choice& c : choices)
    if (c.value > 0) all_.push_back({c, static_cast<double>(c.value) / static_cast<double>(c.weight), 0, 0});
  std::sort(all_.begin(), all_.end(), [](const Ranked& a, const Ranked& b) {
    const auto left = static_cast<__int128>(a.value) * b.weight, right = static_cast<__int128>(b.value) * a.weight;
    if (left != right) return left > right;
    return a.weight != b.weight ? a.weight > b.weight : a.item < b.item;
  });
  ranked_ = all_;
  std::erase_if(ranked_, [](const Ranked& r) { return r.most <= 0; });
  weigh();
}

void Knapsack::weigh() {
  std::int64_t lightest = std::numeric_limits<std::int64_t>::max();
  for (std::size_t j = ranked_.size(); j-- > 0;) {
    Ranked& r = ranked_[j];
    r.all_weigh = r.weight * r.most;
    r.lightest = lightest = std::min(lightest, r.weight);
  }
  taken_.assign(ranked_.size(), 0);
}

double Knapsack::bound(std::size_t at, std::int64_t capacity) const {
  const std::int64_t room = capacity;
  std::int64_t value = 0;
  for (; at < ranked_.size(); ++at) {
    const Ranked& r = ranked_[at];
    if (r.all_weigh <= capacity) {
      value += r.most * r.value;
      capacity -= r.all_weigh;
      continue;
    }
    if (r.weight > room) continue;  // cannot be taken at all
    const std::int64_t count = capacity / r.weight;
    return static_cast<double>(value + count * r.value) +
           static_cast<double>(capacity - count * r.weight) * r.density * (1 + 1e-12) + 1;
  }
  return static_cast<double>(value);
}

void Knapsack::descend(std::size_t at, std::int64_t capacity, std::int64_t value) {
  if (value > best_) {
    best_ = value;
    best_taken_ = taken_;
    std::fill(best_taken_.begin() + static_cast<std::ptrdiff_t>(at), best_taken_.end(), 0);
  }
  while (at < ranked_.size() && ranked_[at].weight > capacity) {
    if (ranked_[at].lightest > capacity) return;
    taken_[at++] = 0;
  }
  if (at == ranked_.size() || ++nodes_ > most_nodes_) return;
  const Ranked& r = ranked_[at];
  const double next = at + 1 < ranked_.size() ? ranked_[at + 1].density : 0;
  for (std::int64_t count = std::min(r.most, capacity / r.weight); count >= 0; --count) {
    const std::int64_t left = capacity - count * r.weight, now = value + count * r.value;
    steps_ += 2;
    // Fewer of the densest only lowers the plain bound; once that fails nothing below can succeed.
    if (static_cast<double>(now) + static_cast<double>(left) * next * (1 + 1e-12) + 1 <= static_cast<double>(best_))
      break;
    if (static_cast<double>(now) + bound(at + 1, left) <= static_cast<double>(best_)) {
      if (count > 0 && now <= best_ && ++nodes_ > most_nodes_) return;
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
  answer.items.reserve(static_cast<std::size_t>(
      std::count_if(best_taken_.begin(), best_taken_.end(), [](std::int64_t n) { return n > 0; })));
  for (std::size_t j = 0; j < best_taken_.size(); ++j)
    if (best_taken_[j] > 0) answer.items.push_back({ranked_[j].item, best_taken_[j]});
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
