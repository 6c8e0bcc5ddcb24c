// SPDX-License-Identifier: Apache-2.0
#include "cutting/search.h"

#include <algorithm>
#include <limits>
#include <map>

#include "cutting/greedy.h"

namespace garthwright::cutting {
namespace {

// Everything must be paid for at the least price per length.
std::int64_t material_bound(const Model& model) {
  std::vector<std::int64_t> least(model.rows(), std::numeric_limits<std::int64_t>::max());
  for (const Item& item : model.items) least[item.row] = std::min(least[item.row], item.length / item.yield);
  __int128 length = 0;
  for (int i = 0; i < model.rows(); ++i) length += static_cast<__int128>(least[i]) * model.demand[i];
  std::vector<Bar> bars = model.bars;
  std::sort(bars.begin(), bars.end(), [](const Bar& a, const Bar& b) {
    return static_cast<__int128>(a.cost) * b.length < static_cast<__int128>(b.cost) * a.length;
  });
  std::int64_t cost = 0;
  for (const Bar& bar : bars) {
    const __int128 here = std::min<__int128>(length, static_cast<__int128>(bar.length) * bar.limit);
    cost += static_cast<std::int64_t>(here / bar.length * bar.cost);
    const __int128 rest = here % bar.length;
    length -= here;
    if (length <= 0) return cost + static_cast<std::int64_t>((rest * bar.cost + bar.length - 1) / bar.length);
    cost += static_cast<std::int64_t>(rest * bar.cost / bar.length);
  }
  return cost;
}

// Plain depth-first search over bars for jobs of a few pieces: the longest wanted item goes into some filling of some
// bar. States already reached at no more cost are left.
class Exhaustive {
 public:
  Exhaustive(const Model& model, Outcome& outcome, Work& work) : model_(model), outcome_(outcome), work_(work) {}

  bool run() {
    visit(all_of(model_), 0);
    return !work_.over() && complete_;
  }

 private:
  void visit(const Remainder& remainder, std::int64_t cost) {
    if (outcome_.plan && cost >= outcome_.plan->cost) return;
    if (++outcome_.nodes > 200'000 || work_.over()) {
      complete_ = false;
      return;
    }
    work_.spend(200);
    std::size_t first = 0;
    while (first < model_.items.size() && remainder.demand[model_.items[first].row] == 0) ++first;
    if (first == model_.items.size()) {
      outcome_.plan = Plan{path_, cost};
      return;
    }
    std::vector<std::int64_t> key = remainder.demand;
    key.insert(key.end(), remainder.limit.begin(), remainder.limit.end());
    const auto [seen, fresh] = seen_.try_emplace(std::move(key), cost);
    if (!fresh && seen->second <= cost) return;
    seen->second = cost;
    const int row = model_.items[first].row;
    for (std::size_t j = first; j < model_.items.size(); ++j) {
      if (model_.items[j].row != row) continue;
      for (int k = 0; k < model_.kinds(); ++k) {
        if (remainder.limit[k] == 0 || !model_.takes(k, static_cast<int>(j)) ||
            model_.items[j].length > model_.bars[k].length)
          continue;
        Remainder next = remainder;
        --next.limit[k];
        Pattern pattern{k, {}};
        fill(next, pattern, j, 0, model_.bars[k].length, cost + model_.bars[k].cost);
      }
    }
  }

  // Item `anchor` is in; then every maximal choice of the others.
  void fill(Remainder& next, Pattern& pattern, std::size_t anchor, std::size_t at, std::int64_t room,
            std::int64_t cost) {
    if (at == model_.items.size()) {
      for (std::size_t j = 0; j < model_.items.size(); ++j)
        if (model_.takes(pattern.bar, static_cast<int>(j)) && next.demand[model_.items[j].row] > 0 &&
            model_.items[j].length <= room)
          return;
      path_.push_back({pattern, 1});
      visit(next, cost);
      path_.pop_back();
      return;
    }
    const Item& item = model_.items[at];
    const std::int64_t least = at == anchor ? 1 : 0;
    std::int64_t& demand = next.demand[item.row];
    const std::int64_t kept = demand;
    std::int64_t most = 0;
    if (model_.takes(pattern.bar, static_cast<int>(at)))
      most = std::min(room / item.length, (demand + item.yield - 1) / item.yield);
    for (std::int64_t count = most; count >= least; --count) {
      demand = std::max<std::int64_t>(0, kept - count * item.yield);
      if (count > 0) pattern.items.push_back({static_cast<int>(at), count});
      fill(next, pattern, anchor, at + 1, room - count * item.length, cost);
      if (count > 0) pattern.items.pop_back();
      if (!complete_) break;
    }
    demand = kept;
  }

  const Model& model_;
  Outcome& outcome_;
  Work& work_;
  bool complete_ = true;
  std::vector<Use> path_;
  std::map<std::vector<std::int64_t>, std::int64_t> seen_;
};

}  // namespace

Outcome search(const Model& model, const Report& report, Work& work) {
  Outcome outcome;
  outcome.bound = material_bound(model);
  outcome.plan = greedy_plan(model, all_of(model), 12, outcome.bound, work);
  if (outcome.plan) report(outcome.plan->cost, outcome.bound);
  if (outcome.plan && outcome.plan->cost == outcome.bound) return outcome;
  if (Exhaustive(model, outcome, work).run()) {
    outcome.infeasible = !outcome.plan;
    if (outcome.plan) outcome.bound = outcome.plan->cost;
  }
  if (outcome.plan) report(outcome.plan->cost, outcome.bound);
  return outcome;
}

}  // namespace garthwright::cutting
