// SPDX-License-Identifier: Apache-2.0
#include "cutting/pairs.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "cutting/greedy.h"
#include "cutting/lower_bound.h"
#include "cutting/pattern_list.h"

namespace garthwright::cutting {
namespace {

constexpr double kWhole = 1e-4;
constexpr std::int64_t kPackNodes = 100;  // pairs soon decide what many nodes on one list do not
constexpr std::size_t kProbed = 12;       // pairs tried at a node
constexpr double kKeptWithin = 0.02;      // of a bar's worth: columns that a child takes over

// A model in which pieces may be joined to longer ones, and may refuse each other.
struct Node {
  Model model;                                 // item j meets row j and no other
  std::vector<std::vector<ItemCount>> joined;  // by item: what it is made of, in items of the first model
  std::vector<std::pair<int, int>> apart;      // items, first <= second
  std::vector<Pattern> columns;                // those in the basis where they come from first
  int lead = 0;                                // how many of those
};

struct Pair {
  int a = 0, b = 0;
  double score = 0;
};

bool one_item_a_row(const Model& model) {
  // Every row has an item at least.
  return static_cast<int>(model.items.size()) == model.rows() &&
         std::all_of(model.items.begin(), model.items.end(), [](const Item& item) { return item.yield == 1; });
}

// The same model with rows in the order of their items.
Model rows_by_item(const Model& model) {
  Model sorted = model;
  for (int j = 0; j < model.rows(); ++j) {
    sorted.demand[j] = model.demand[model.items[j].row];
    sorted.items[j].row = j;
  }
  return sorted;
}

std::int64_t count_of(const Pattern& pattern, int item) {
  const auto at = std::lower_bound(pattern.items.begin(), pattern.items.end(), ItemCount{item, 0});
  return at != pattern.items.end() && at->item == item ? at->count : 0;
}

bool holds_pair(const Pattern& pattern, int a, int b) {
  return a == b ? count_of(pattern, a) >= 2 : count_of(pattern, a) >= 1 && count_of(pattern, b) >= 1;
}

std::vector<ItemCount> sum(const std::vector<ItemCount>& a, const std::vector<ItemCount>& b) {
  std::map<int, std::int64_t> counts;
  for (const ItemCount& part : a) counts[part.item] += part.count;
  for (const ItemCount& part : b) counts[part.item] += part.count;
  std::vector<ItemCount> out;
  for (const auto& [item, count] : counts) out.push_back({item, count});
  return out;
}

Node with_apart(const Node& node, int a, int b) {
  Node child = node;
  child.apart.push_back({a, b});
  child.columns.clear();
  child.lead = 0;
  for (std::size_t p = 0; p < node.columns.size(); ++p) {
    if (holds_pair(node.columns[p], a, b)) continue;
    child.columns.push_back(node.columns[p]);
    child.lead += static_cast<int>(p) < node.lead;
  }
  return child;
}

// One of `a` and one of `b` become one item. Items stay sorted, longest first, so most are renumbered.
Node with_together(const Node& node, int a, int b) {
  const Model& from = node.model;
  const int items = from.rows();
  std::vector<std::int64_t> demand = from.demand;
  --demand[a];
  --demand[b];
  const std::int64_t length = from.items[a].length + from.items[b].length;
  Node child;
  child.model.bars = from.bars;
  child.model.cost_unit = from.cost_unit;
  child.model.families.resize(from.families.size());
  std::vector<int> number(items, -1);
  int joined = -1;
  const auto append = [&](std::int64_t item_length, std::int64_t wanted, std::vector<ItemCount> parts) {
    const int index = child.model.rows();
    child.model.items.push_back({item_length, index, 1});
    child.model.demand.push_back(wanted);
    child.joined.push_back(std::move(parts));
    return index;
  };
  for (int j = 0; j <= items; ++j) {
    if (joined < 0 && (j == items || from.items[j].length <= length)) {
      joined = append(length, 1, sum(node.joined[a], node.joined[b]));
      for (std::size_t f = 0; f < from.families.size(); ++f)
        child.model.families[f].takes.push_back(from.families[f].takes[a] && from.families[f].takes[b]);
    }
    if (j == items || demand[j] == 0) continue;
    number[j] = append(from.items[j].length, demand[j], node.joined[j]);
    for (std::size_t f = 0; f < from.families.size(); ++f)
      child.model.families[f].takes.push_back(from.families[f].takes[j]);
  }
  const auto keep_apart = [&](int x, int y) {
    if (x < 0 || y < 0) return;
    const std::pair<int, int> pair = std::minmax(x, y);
    if (std::find(child.apart.begin(), child.apart.end(), pair) == child.apart.end()) child.apart.push_back(pair);
  };
  for (const auto& [x, y] : node.apart) {
    keep_apart(number[x], number[y]);
    if (x == a || x == b) keep_apart(joined, number[y]);
    if (y == a || y == b) keep_apart(joined, number[x]);
  }
  for (std::size_t p = 0; p < node.columns.size(); ++p) {
    const Pattern& column = node.columns[p];
    const bool join = holds_pair(column, a, b);
    Pattern renumbered{column.bar, {}};
    for (ItemCount part : column.items) {
      if (join) part.count -= (part.item == a) + (part.item == b);
      part.count = std::min(part.count, demand[part.item]);
      if (part.count > 0) renumbered.items.push_back({number[part.item], part.count});
    }
    if (join) renumbered.items.push_back({joined, 1});
    std::sort(renumbered.items.begin(), renumbered.items.end());
    const auto refused = [&](const std::pair<int, int>& p) { return holds_pair(renumbered, p.first, p.second); };
    if (renumbered.items.empty() || std::any_of(child.apart.begin(), child.apart.end(), refused)) continue;
    child.columns.push_back(std::move(renumbered));
    child.lead += static_cast<int>(p) < node.lead;
  }
  return child;
}

// A node's relaxation, solved as far as it is not refuted, with what it refers to.
struct Relaxed {
  Relaxed(const Node& node, std::span<const std::int64_t> mix, Work& work)
      : pool(pool_of(node.columns)),
        pricer(node.model, node.apart),
        relaxation(Relaxation::of_mix(node.model, mix, pool, pricer, node.lead, work)),
        end(relaxation.generate(
            work, [&](const Prices& prices, double) { return mix_slack(node.model, prices, mix) < 0; })) {}
  Relaxed(const Relaxed&) = delete;
  Relaxed& operator=(const Relaxed&) = delete;

  static PatternPool pool_of(const std::vector<Pattern>& columns) {
    PatternPool pool;
    for (const Pattern& column : columns) pool.add(column);
    return pool;
  }

  PatternPool pool;
  Pricer pricer;
  Relaxation relaxation;
  Relaxation::End end;
};

}  // namespace

struct PairSearch::Tree {
  Tree(const Model& model, std::span<const std::int64_t> mix, const PatternPool& pool, std::span<const int> basis)
      : model_(model), mix_(mix.begin(), mix.end()) {
    if (!one_item_a_row(model_)) {
      undecided_ = true;
      return;
    }
    Node root{rows_by_item(model_), {}, {}, {}, 0};
    for (int j = 0; j < model_.rows(); ++j) root.joined.push_back({{j, 1}});
    std::vector<char> taken(pool.all().size(), 0);
    const auto take = [&](int p) {
      if (taken[p] == 0 && mix_[pool.all()[p].bar] > 0) root.columns.push_back(pool.all()[p]);
      taken[p] = 1;
    };
    for (int p : basis) take(p);
    root.lead = static_cast<int>(root.columns.size());
    for (int p = 0; p < static_cast<int>(taken.size()); ++p) take(p);
    waiting_.push_back(std::move(root));
  }

  PackResult run(const PairLimits& limits, Work& work) {
    result_ = {};
    while (!waiting_.empty() && result_.nodes < limits.nodes && !work.over()) {
      Node node = std::move(waiting_.back());
      waiting_.pop_back();
      switch (visit(node, limits, work)) {
        case Visit::found:
          result_.packing = Packing::found;
          return std::move(result_);
        case Visit::interrupted:
          waiting_.push_back(std::move(node));
          break;
        case Visit::done:
          break;
      }
    }
    if (waiting_.empty() && !undecided_) result_.packing = Packing::refuted;
    return std::move(result_);
  }

  // Done: refuted, given up, or what is left of it waits. Interrupted: the work ended before.
  enum class Visit { found, done, interrupted };

  Visit visit(Node& node, const PairLimits& limits, Work& work) {
    ++result_.nodes;
    const Relaxed relaxed(node, mix_, work);
    if (relaxed.end == Relaxation::End::decided) return Visit::done;
    if (relaxed.end == Relaxation::End::work) return Visit::interrupted;
    const Prices& prices = relaxed.relaxation.prices();
    if (filled(node, prices, work)) return Visit::found;
    const Packing listed = by_list(node, prices, limits.listed_patterns, work);
    if (listed == Packing::found) return Visit::found;
    if (listed == Packing::refuted) return Visit::done;
    if (work.over()) return Visit::interrupted;
    if (whole(node, relaxed.pool, relaxed.relaxation)) return Visit::found;
    const std::vector<Pair> pairs = choose(node, relaxed.pool, relaxed.relaxation);
    if (pairs.empty()) {
      undecided_ = true;
      return Visit::done;
    }
    take_over(node, relaxed.pool, relaxed.relaxation);
    return branch(node, pairs, work);
  }

  // The first pair that refuses one of its ways leaves but the other; else both ways of the best pair wait.
  Visit branch(const Node& node, const std::vector<Pair>& pairs, Work& work) {
    std::vector<Node> both;
    for (const Pair& pair : pairs) {
      Node together = with_together(node, pair.a, pair.b), apart = with_apart(node, pair.a, pair.b);
      const bool not_together = refuted(together, work);
      if (work.over()) return Visit::interrupted;
      const bool not_apart = refuted(apart, work);
      if (work.over()) return Visit::interrupted;
      if (not_together && not_apart) return Visit::done;
      if (not_together || not_apart) {
        waiting_.push_back(not_together ? std::move(apart) : std::move(together));
        return Visit::done;
      }
      if (!both.empty()) continue;
      both.push_back(std::move(apart));
      both.push_back(std::move(together));
    }
    for (Node& child : both) waiting_.push_back(std::move(child));
    return Visit::done;
  }

  // Whether the relaxation alone refutes the node; else it is left with the columns of its optimum.
  bool refuted(Node& node, Work& work) {
    ++result_.nodes;
    const Relaxed relaxed(node, mix_, work);
    if (relaxed.end == Relaxation::End::converged) take_over(node, relaxed.pool, relaxed.relaxation);
    return relaxed.end == Relaxation::End::decided;
  }

  // The relaxation's own solution, where it uses every pattern a whole number of times.
  bool whole(const Node& node, const PatternPool& pool, const Relaxation& relaxation) {
    Plan plan;
    std::vector<std::int64_t> left = node.model.demand, bars(mix_.begin(), mix_.end());
    for (const auto& [p, x] : relaxation.solution()) {
      const Pattern& pattern = pool.all()[p];
      const auto count = static_cast<std::int64_t>(std::round(x));
      if (count == 0) continue;
      bars[pattern.bar] -= count;
      for (const ItemCount& part : pattern.items) left[part.item] -= part.count * count;
      plan.uses.push_back({pattern, count});
      plan.cost += count * node.model.bars[pattern.bar].cost;
    }
    const auto met = [](std::int64_t d) { return d <= 0; };
    const auto enough = [](std::int64_t b) { return b >= 0; };
    if (!std::all_of(left.begin(), left.end(), met) || !std::all_of(bars.begin(), bars.end(), enough)) return false;
    keep(node, plan);
    return true;
  }

  // The columns that may still matter, for the node's children.
  static void take_over(Node& node, const PatternPool& pool, const Relaxation& relaxation) {
    const Prices& prices = relaxation.prices();
    std::vector<char> used(pool.all().size(), 0);
    node.columns.clear();
    for (int p : relaxation.in_basis()) {
      used[p] = 1;
      node.columns.push_back(pool.all()[p]);
    }
    node.lead = static_cast<int>(node.columns.size());
    for (std::size_t p = 0; p < used.size(); ++p) {
      if (used[p]) continue;
      double value = 0;
      for (const ItemCount& part : pool.all()[p].items)
        value += static_cast<double>(prices.price[part.item]) * static_cast<double>(part.count);
      if (value >= (1 - kKeptWithin) * static_cast<double>(prices.worth[pool.all()[p].bar]))
        node.columns.push_back(pool.all()[p]);
    }
  }

  // Filling bars by value knows nothing of items that refuse each other: it need not, any plan will do.
  bool filled(const Node& node, const Prices& prices, Work& work) {
    const Remainder remainder{node.model.demand, {mix_.begin(), mix_.end()}};
    std::vector<double> value;
    for (std::int64_t p : prices.price) value.push_back(static_cast<double>(p));
    for (const bool anchored : {true, false})
      if (std::optional<Plan> plan = fill_by_value(node.model, remainder, value, anchored, work)) {
        keep(node, *plan);
        return true;
      }
    return false;
  }

  Packing by_list(const Node& node, const Prices& prices, std::size_t most, Work& work) {
    const std::vector<Prices> filters{prices, length_prices(node.model)};
    std::optional<std::vector<Pattern>> patterns = useful_patterns(node.model, mix_, filters, most, work);
    if (!patterns) return Packing::unknown;
    PackResult packed = pack(node.model, mix_, *patterns, prices, kPackNodes, work);
    if (packed.packing == Packing::found) keep(node, packed.plan);
    return packed.packing;
  }

  void keep(const Node& node, const Plan& plan) {
    result_.plan = {{}, plan.cost};
    for (const Use& use : plan.uses) {
      std::vector<ItemCount> items;
      for (const ItemCount& part : use.pattern.items)
        for (std::int64_t n = 0; n < part.count; ++n) items = sum(items, node.joined[part.item]);
      result_.plan.uses.push_back({{use.pattern.bar, std::move(items)}, use.count});
    }
  }

  // The pairs held together a fractional number of times, near a half and long before others.
  static std::vector<Pair> choose(const Node& node, const PatternPool& pool, const Relaxation& relaxation) {
    std::map<std::pair<int, int>, double> together;
    for (const auto& [p, x] : relaxation.solution()) {
      const auto& items = pool.all()[p].items;
      for (std::size_t a = 0; a < items.size(); ++a) {
        if (items[a].count > 1) together[{items[a].item, items[a].item}] += x;
        for (std::size_t b = a + 1; b < items.size(); ++b) together[{items[a].item, items[b].item}] += x;
      }
    }
    std::vector<Pair> pairs;
    for (const auto& [pair, x] : together) {
      const double fraction = x - std::floor(x);
      if (fraction < kWhole || fraction > 1 - kWhole) continue;
      const double length = static_cast<double>(node.model.items[pair.first].length) +
                            static_cast<double>(node.model.items[pair.second].length);
      pairs.push_back({pair.first, pair.second, std::min(fraction, 1 - fraction) * length});
    }
    std::stable_sort(pairs.begin(), pairs.end(), [](const Pair& a, const Pair& b) { return a.score > b.score; });
    if (pairs.size() > kProbed) pairs.resize(kProbed);
    return pairs;
  }

  const Model& model_;
  std::vector<std::int64_t> mix_;
  std::vector<Node> waiting_;  // the last is next
  bool undecided_ = false;     // a node was given up
  PackResult result_;
};

PairSearch::PairSearch(const Model& model, std::span<const std::int64_t> mix, const PatternPool& pool,
                       std::span<const int> basis)
    : tree_(std::make_unique<Tree>(model, mix, pool, basis)) {}
PairSearch::PairSearch(PairSearch&&) noexcept = default;
PairSearch& PairSearch::operator=(PairSearch&&) noexcept = default;
PairSearch::~PairSearch() = default;

PackResult PairSearch::run(const PairLimits& limits, Work& work) { return tree_->run(limits, work); }
bool PairSearch::open() const { return !tree_->waiting_.empty(); }
std::span<const std::int64_t> PairSearch::mix() const { return tree_->mix_; }

}  // namespace garthwright::cutting
