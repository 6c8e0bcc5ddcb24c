// SPDX-License-Identifier: Apache-2.0
#include "cutting/greedy.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "cutting/knapsack.h"

namespace garthwright::cutting {
namespace {

constexpr std::int64_t kFillNodes = 400, kDeepFillNodes = 5000;  // of the knapsack's search
constexpr int kQuick = 6;                                        // passes: who asks for no more wants an answer soon
constexpr double kValueScale = 1 << 24;

std::int64_t pieces_left(const Remainder& remainder) {
  std::int64_t left = 0;
  for (std::int64_t d : remainder.demand) left += d;
  return left;
}

// Whole-number prices with about 24 bits for the dearest row.
std::vector<std::int64_t> as_prices(std::span<const double> value) {
  double top = 0;
  for (double v : value) top = std::max(top, v);
  std::vector<std::int64_t> price(value.size());
  for (std::size_t i = 0; i < value.size(); ++i)
    price[i] = top > 0 ? static_cast<std::int64_t>(value[i] / top * kValueScale) : 0;
  return price;
}

int longest_wanted(const Model& model, const Remainder& remainder) {
  for (std::size_t j = 0; j < model.items.size(); ++j)
    if (remainder.demand[model.items[j].row] > 0) return static_cast<int>(j);
  return -1;
}

struct Filling {
  Pattern pattern;
  std::int64_t value = 0;
};

std::int64_t most_cuts(const Model& model, int item, const Remainder& remainder) {
  const Item& it = model.items[item];
  return (remainder.demand[it.row] + it.yield - 1) / it.yield;
}

// The best filling of each kind of bar at fixed prices while what is wanted shrinks. A filling stays the best as long
// as all of it is still wanted.
class Filler {
 public:
  Filler(const Model& model, std::span<const std::int64_t> price, const Remainder& remainder, std::int64_t most_nodes)
      : model_(model), price_(price), most_nodes_(most_nodes), sorted_(model.families.size()), kinds_(model.kinds()) {
    for (const Bar& bar : model.bars)
      if (!sorted_[bar.family]) sorted_[bar.family].emplace(choices_for(model, bar.family, price, remainder.demand));
    limited_.assign(model.families.size(), 0);
  }

  // Since the last call demands have only become less. None: nothing wanted fits. With `anchor` >= 0 that item is in
  // it.
  const Filling* best(int bar, const Remainder& remainder, int anchor, Work& work) {
    Kind& kind = kinds_[bar];
    if (kind.known && kind.anchor == anchor && (!kind.filling || wanted(kind.filling->pattern, remainder)))
      return kind.filling ? &*kind.filling : nullptr;
    kind = {true, anchor, fill(bar, remainder, anchor, work)};
    return kind.filling ? &*kind.filling : nullptr;
  }

  void demands_changed() { std::fill(limited_.begin(), limited_.end(), 0); }

 private:
  struct Kind {
    bool known = false;
    int anchor = -1;
    std::optional<Filling> filling;
  };

  bool wanted(const Pattern& pattern, const Remainder& remainder) const {
    return std::all_of(pattern.items.begin(), pattern.items.end(),
                       [&](const ItemCount& part) { return part.count <= most_cuts(model_, part.item, remainder); });
  }

  std::optional<Filling> fill(int bar, const Remainder& remainder, int anchor, Work& work) {
    const Bar& b = model_.bars[bar];
    std::int64_t capacity = b.length;
    if (anchor >= 0) {
      if (!model_.takes(bar, anchor) || model_.items[anchor].length > capacity) return std::nullopt;
      capacity -= model_.items[anchor].length;
    }
    Knapsack& knapsack = *sorted_[b.family];
    if (!limited_[b.family]) {
      knapsack.limit([&](int item) { return most_cuts(model_, item, remainder) - (item == anchor); });
      work.spend(2 * static_cast<std::int64_t>(model_.items.size()));
      limited_[b.family] = 1;
    }
    Knapsack::Answer answer = knapsack.best(capacity, 0, most_nodes_, work);
    Filling filling{{bar, std::move(answer.items)}, answer.value};
    std::vector<ItemCount>& items = filling.pattern.items;
    if (anchor >= 0) {
      const Item& item = model_.items[anchor];
      filling.value += price_[item.row] * item.yield;
      const auto at = std::lower_bound(items.begin(), items.end(), ItemCount{anchor, 0});
      if (at != items.end() && at->item == anchor)
        ++at->count;
      else
        items.insert(at, {anchor, 1});
    }
    if (items.empty()) return std::nullopt;
    return filling;
  }

  const Model& model_;
  std::span<const std::int64_t> price_;
  std::int64_t most_nodes_;
  std::vector<std::optional<Knapsack>> sorted_;  // by family
  std::vector<char> limited_;                    // by family: its knapsack is up to date
  std::vector<Kind> kinds_;
};

bool covers_all(const Model& model, const Pattern& pattern, const Remainder& remainder, std::int64_t left) {
  std::int64_t pieces = 0;
  for (const ItemCount& part : pattern.items) pieces += part.count * model.items[part.item].yield;
  if (pieces < left) return false;
  std::vector<std::int64_t> got(remainder.demand.size(), 0);
  for (const ItemCount& part : pattern.items)
    got[model.items[part.item].row] += part.count * model.items[part.item].yield;
  for (std::size_t i = 0; i < got.size(); ++i)
    if (got[i] < remainder.demand[i]) return false;
  return true;
}

// How often the pattern can be cut before it would cut more than is wanted or there is.
std::int64_t times(const Model& model, const Pattern& pattern, const Remainder& remainder) {
  std::int64_t most = remainder.limit[pattern.bar];
  for (const ItemCount& part : pattern.items) {
    const int row = model.items[part.item].row;
    std::int64_t got = 0;
    for (const ItemCount& other : pattern.items)
      if (model.items[other.item].row == row) got += other.count * model.items[other.item].yield;
    most = std::min(most, remainder.demand[row] / got);
  }
  return std::max<std::int64_t>(most, 1);
}

void take_off(const Model& model, const Pattern& pattern, std::int64_t count, Remainder& remainder) {
  remainder.limit[pattern.bar] -= count;
  for (const ItemCount& part : pattern.items) {
    const Item& item = model.items[part.item];
    std::int64_t& demand = remainder.demand[item.row];
    demand = std::max<std::int64_t>(0, demand - part.count * item.yield * count);
  }
}

// What a row is worth: the share of a bar that its length takes, to a power; and, by `step`, the share of a bar cut
// into nothing else (a dual feasible function, Johnson 1973): 400 of 1000 takes as much as half of it.
std::vector<double> share_values(const Model& model, double power, double step) {
  std::vector<double> value(model.rows(), std::numeric_limits<double>::max());
  for (const Item& item : model.items) {
    double share = 0, stepped = 0;
    int bars = 0;
    for (const Bar& bar : model.bars) {
      if (item.length > bar.length) continue;
      share += std::pow(static_cast<double>(item.length) / static_cast<double>(bar.length), power);
      stepped += 1 / static_cast<double>(bar.length / item.length);
      ++bars;
    }
    if (bars == 0) continue;
    const double mean = ((1 - step) * share + step * stepped) / bars;
    value[item.row] = std::min(value[item.row], mean / static_cast<double>(item.yield));
  }
  return value;
}

void correct_values(const Model& model, const Plan& plan, std::span<const double> base, std::vector<double>& value) {
  double cost = 0, length = 0;
  for (const Use& use : plan.uses) {
    cost += static_cast<double>(model.bars[use.pattern.bar].cost * use.count);
    length += static_cast<double>(filled(model, use.pattern) * use.count);
  }
  if (cost <= 0) return;
  for (const Use& use : plan.uses) {
    const double dear = static_cast<double>(model.bars[use.pattern.bar].cost) /
                        static_cast<double>(filled(model, use.pattern)) * length / cost;
    for (const ItemCount& part : use.pattern.items) {
      const int row = model.items[part.item].row;
      value[row] = 0.5 * value[row] + 0.5 * base[row] * dear * dear;
    }
  }
}

// The rest of a plan without looking for good fillings: bar after bar from the longest item down, each bar the one that
// gives most length for its cost, a few items looked at for each. Linear in the items; for when time is up.
bool fill_in_order(const Model& model, Remainder& remainder, Plan& plan) {
  constexpr int kLookAhead = 100;
  std::vector<int> bars(model.kinds());
  std::iota(bars.begin(), bars.end(), 0);
  std::stable_sort(bars.begin(), bars.end(), [&](int a, int b) {
    return static_cast<__int128>(model.bars[a].cost) * model.bars[b].length <
           static_cast<__int128>(model.bars[b].cost) * model.bars[a].length;
  });
  const int items = static_cast<int>(model.items.size());
  const auto wanted = [&](int j) { return remainder.demand[model.items[j].row]; };
  for (int first = 0; first < items;) {
    if (wanted(first) <= 0) {
      ++first;
      continue;
    }
    const auto bar = std::find_if(bars.begin(), bars.end(), [&](int k) {
      return remainder.limit[k] > 0 && model.takes(k, first) && model.items[first].length <= model.bars[k].length;
    });
    if (bar == bars.end()) {
      ++first;  // another way may still meet this row
      continue;
    }
    Pattern pattern{*bar, {}};
    std::int64_t room = model.bars[*bar].length;
    std::vector<int> rows;
    for (int j = first, looked = 0; j < items && looked < kLookAhead; ++j) {
      // On to the longest that still fits.
      const auto fits = std::partition_point(model.items.begin() + j, model.items.end(),
                                             [&](const Item& item) { return item.length > room; });
      j = static_cast<int>(fits - model.items.begin());
      if (j == items) break;
      if (wanted(j) <= 0 || std::find(rows.begin(), rows.end(), model.items[j].row) != rows.end()) continue;
      ++looked;
      const Item& item = model.items[j];
      const std::int64_t count = std::min(room / item.length, (wanted(j) + item.yield - 1) / item.yield);
      if (count <= 0 || !model.takes(*bar, j)) continue;
      pattern.items.push_back({j, count});
      rows.push_back(item.row);
      room -= count * item.length;
    }
    const std::int64_t count = times(model, pattern, remainder);
    plan.cost += count * model.bars[*bar].cost;
    take_off(model, pattern, count, remainder);
    plan.uses.push_back({std::move(pattern), count});
  }
  return pieces_left(remainder) == 0;
}

}  // namespace

Remainder all_of(const Model& model) {
  Remainder remainder{model.demand, {}};
  for (const Bar& bar : model.bars) remainder.limit.push_back(bar.limit);
  return remainder;
}

std::optional<Plan> fill_by_value(const Model& model, Remainder remainder, std::span<const double> value, bool anchored,
                                  Work& work, bool thorough) {
  const std::vector<std::int64_t> price = as_prices(value);
  Plan plan;
  std::int64_t finish_cost = std::numeric_limits<std::int64_t>::max();
  std::size_t finish_at = 0;
  std::optional<Pattern> finish;
  std::int64_t left = pieces_left(remainder);
  Filler filler(model, price, remainder, thorough ? kDeepFillNodes : kFillNodes);
  while (left > 0) {
    if (work.over()) {
      if (!fill_in_order(model, remainder, plan)) return std::nullopt;
      return plan;
    }
    const int anchor = anchored ? longest_wanted(model, remainder) : -1;
    filler.demands_changed();
    const Filling* best = nullptr;
    double best_score = -1;
    for (int k = 0; k < model.kinds(); ++k) {
      if (remainder.limit[k] <= 0) continue;
      const Filling* filling = filler.best(k, remainder, anchor, work);
      if (filling == nullptr) continue;
      const std::int64_t cost = model.bars[k].cost;
      if (plan.cost + cost < finish_cost && covers_all(model, filling->pattern, remainder, left)) {
        finish_cost = plan.cost + cost;
        finish_at = plan.uses.size();
        finish = filling->pattern;
      }
      const double score = (static_cast<double>(filling->value) + 0.5) / (static_cast<double>(cost) + 1e-6);
      if (score > best_score) {
        best_score = score;
        best = filling;
      }
    }
    if (best == nullptr) break;
    const std::int64_t count = times(model, best->pattern, remainder);
    plan.cost += count * model.bars[best->pattern.bar].cost;
    take_off(model, best->pattern, count, remainder);
    plan.uses.push_back({best->pattern, count});
    left = pieces_left(remainder);
  }
  if (finish && (left > 0 || finish_cost < plan.cost)) {
    plan.uses.resize(finish_at);
    plan.uses.push_back({*std::move(finish), 1});
    plan.cost = finish_cost;
    return plan;
  }
  if (left > 0) return std::nullopt;
  return plan;
}

std::optional<Plan> greedy_plan(const Model& model, const Remainder& remainder, int passes, std::int64_t target,
                                Work& work, std::vector<Pattern>* met) {
  std::optional<Plan> best, last;
  const auto reaches_target = [&](std::span<const double> value, bool anchored, bool thorough = false) {
    last = fill_by_value(model, remainder, value, anchored, work, thorough);
    if (!last) return false;
    if (met != nullptr)
      for (const Use& use : last->uses) met->push_back(use.pattern);
    if (!best || last->cost < best->cost) best = last;
    return best->cost <= target;
  };
  const std::vector<double> base = share_values(model, 1.05, 0.05);
  if (reaches_target(base, true)) return best;
  if (!best && reaches_target(base, false)) return best;  // limits may leave no bar for the longest
  if (passes > kQuick) {
    const std::vector<double> steps = share_values(model, 1.0, 0.5);
    if (reaches_target(steps, false) || reaches_target(share_values(model, 1.0, 0.0), true) ||
        reaches_target(steps, false, true))
      return best;
  }
  std::vector<double> value = base;
  last = best;
  for (int pass = 0; pass < passes && last && !work.over(); ++pass) {
    correct_values(model, *last, base, value);
    if (reaches_target(value, pass % 3 == 2)) return best;
  }
  return best;
}

}  // namespace garthwright::cutting
