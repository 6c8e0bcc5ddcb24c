// SPDX-License-Identifier: Apache-2.0
#include "cutting/pricing.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <limits>

namespace garthwright::cutting {
namespace {

constexpr double kMostWorth = 281474976710656.0;  // 2^48
constexpr std::int64_t kNodesWithoutTable = 3'000'000;
constexpr std::int64_t kForcedNodes = 200;
constexpr std::int64_t kApartNodes = 500'000;

std::int64_t longest_bar(const Model& model, int family, std::span<const std::int64_t> limit) {
  std::int64_t longest = 0;
  for (int k = 0; k < model.kinds(); ++k)
    if (model.bars[k].family == family && limit[k] > 0) longest = std::max(longest, model.bars[k].length);
  return longest;
}

}  // namespace

double whole_prices(const Model& model, std::span<const double> real, std::vector<std::int64_t>& price) {
  double top = 0;
  for (const Item& item : model.items) {
    const double density =
        std::max(0.0, real[item.row]) * static_cast<double>(item.yield) / static_cast<double>(item.length);
    top = std::max(top, density * static_cast<double>(model.bars.front().length));
    top = std::max(top, real[item.row] * static_cast<double>(item.yield));
  }
  price.assign(model.rows(), 0);
  if (top <= 0) return 1;
  int exponent = 0;
  std::frexp(kMostWorth / top, &exponent);
  const double scale = std::ldexp(1.0, std::clamp(exponent - 1, -60, 60));
  for (int i = 0; i < model.rows(); ++i) price[i] = static_cast<std::int64_t>(std::max(0.0, real[i]) * scale);
  return scale;
}

// No filling of so much room is worth more: it would fit into the next longer bar.
std::int64_t Pricer::most_worth(int family, std::span<const std::int64_t> limit, const Prices& prices,
                                std::int64_t room) const {
  std::int64_t worth = std::numeric_limits<std::int64_t>::max() / 2;
  for (int k = 0; k < model_.kinds() && model_.bars[k].length >= room; ++k)
    if (model_.bars[k].family == family && limit[k] > 0) worth = std::min(worth, prices.worth[k]);
  return worth;
}

Pricer::Offer Pricer::offer(std::vector<std::int64_t> price, std::span<const std::int64_t> demand,
                            std::span<const std::int64_t> limit, std::span<const std::int64_t> threshold, bool diverse,
                            Work& work) {
  Offer offer;
  offer.prices.price = std::move(price);
  offer.prices.worth.assign(model_.kinds(), 0);
  search_failed_.resize(model_.families.size(), 0);
  for (int family = 0; family < static_cast<int>(model_.families.size()); ++family) {
    if (longest_bar(model_, family, limit) == 0) continue;
    if (!apart_.empty()) {
      offer_apart(family, demand, limit, threshold, diverse, offer, work);
      continue;
    }
    if (search_failed_[family] >= 2 && offer_by_table(family, demand, limit, threshold, diverse, offer, work)) continue;
    offer_by_search(family, demand, limit, threshold, diverse, offer, work);
  }
  return offer;
}

void Pricer::offer_by_search(int family, std::span<const std::int64_t> demand, std::span<const std::int64_t> limit,
                             std::span<const std::int64_t> threshold, bool diverse, Offer& offer, Work& work) {
  const std::vector<Choice> choices = choices_for(model_, family, offer.prices.price, demand);
  const std::int64_t longest = longest_bar(model_, family, limit);
  const std::int64_t cells = KnapsackTable::cells(choices.size(), longest);
  const bool table_possible = cells <= kMostTableCells;
  const std::int64_t most_nodes = table_possible ? 100 + cells / 30 : kNodesWithoutTable;
  Knapsack knapsack(choices);
  std::vector<Pattern> found;
  std::vector<std::pair<std::int64_t, std::int64_t>> best;  // (bar, worth), longest bar last
  std::int64_t floor = 0;
  for (int k = model_.kinds() - 1; k >= 0; --k) {
    const Bar& bar = model_.bars[k];
    if (bar.family != family || limit[k] <= 0) continue;
    Knapsack::Answer answer = knapsack.best(bar.length, 0, most_nodes, work);
    if (!answer.exact && table_possible) {
      ++search_failed_[family];
      if (offer_by_table(family, demand, limit, threshold, diverse, offer, work)) return;
    }
    floor = std::max(floor, answer.value);
    offer.prices.worth[k] = answer.upper;
    offer.prices.exact = offer.prices.exact && answer.exact;
    if (answer.value > threshold[k] && answer.found) found.push_back({k, std::move(answer.items)});
  }
  if (diverse) {
    std::vector<char> covered(model_.items.size(), 0);
    for (const Pattern& pattern : found)
      for (const ItemCount& part : pattern.items) covered[part.item] = 1;
    std::vector<std::int64_t> most(model_.items.size(), 0);
    for (const Choice& c : choices) most[c.item] = c.most;
    for (const Choice& c : choices) {
      if (covered[c.item]) continue;
      work.spend(10 * static_cast<std::int64_t>(choices.size()));
      if (work.over()) break;
      bool limited = false;
      for (int k = 0; k < model_.kinds(); ++k) {
        const Bar& bar = model_.bars[k];
        if (bar.family != family || limit[k] <= 0 || bar.length < c.weight) continue;
        if (c.value > offer.prices.worth[k]) continue;
        const std::int64_t room = bar.length - c.weight;
        if (c.value + most_worth(family, limit, offer.prices, room) <= threshold[k]) continue;
        if (!limited) knapsack.limit([&](int item) { return most[item] - (item == c.item); });
        limited = true;
        Knapsack::Answer answer =
            knapsack.best(room, std::max<std::int64_t>(0, threshold[k] - c.value), kForcedNodes, work);
        if (!answer.found || answer.value + c.value <= threshold[k]) continue;
        auto at = std::lower_bound(answer.items.begin(), answer.items.end(), ItemCount{c.item, 0});
        if (at != answer.items.end() && at->item == c.item)
          ++at->count;
        else
          answer.items.insert(at, {c.item, 1});
        for (const ItemCount& part : answer.items) covered[part.item] = 1;
        found.push_back({k, std::move(answer.items)});
        break;
      }
    }
  }
  std::move(found.begin(), found.end(), std::back_inserter(offer.patterns));
}

bool Pricer::offer_by_table(int family, std::span<const std::int64_t> demand, std::span<const std::int64_t> limit,
                            std::span<const std::int64_t> threshold, bool diverse, Offer& offer, Work& work) {
  std::vector<Choice> choices = choices_for(model_, family, offer.prices.price, demand);
  const std::int64_t longest = longest_bar(model_, family, limit);
  if (KnapsackTable::cells(choices.size(), longest) > kMostTableCells) return false;
  table_.build(std::move(choices), longest, work);
  std::vector<int> bars;
  for (int k = 0; k < model_.kinds(); ++k)
    if (model_.bars[k].family == family && limit[k] > 0) bars.push_back(k);
  std::vector<char> covered(model_.items.size(), 0);
  for (int k : bars) {
    offer.prices.worth[k] = table_.value(model_.bars[k].length);
    if (offer.prices.worth[k] <= threshold[k]) continue;
    offer.patterns.push_back({k, table_.filling(model_.bars[k].length)});
    for (const ItemCount& part : offer.patterns.back().items) covered[part.item] = 1;
  }
  if (!diverse) return true;
  for (std::size_t j = 0; j < table_.choices().size(); ++j) {
    if (covered[table_.choices()[j].item]) continue;
    int best = -1;
    std::int64_t best_gain = 0;
    for (int k : bars) {
      const std::int64_t gain = table_.value_with(j, model_.bars[k].length) - threshold[k];
      if (gain > best_gain) {
        best_gain = gain;
        best = k;
      }
    }
    if (best < 0) continue;
    offer.patterns.push_back({best, table_.filling_with(j, model_.bars[best].length)});
    for (const ItemCount& part : offer.patterns.back().items) covered[part.item] = 1;
    work.spend(static_cast<std::int64_t>(table_.choices().size()));
  }
  return true;
}

namespace {

// Best filling with items that refuse each other. What the table says without the refusals is the bound.
class ApartSearch {
 public:
  ApartSearch(const KnapsackTable& table, const std::vector<std::pair<int, int>>& apart, std::int64_t most_nodes)
      : table_(table), most_nodes_(most_nodes) {
    int items = 0;
    for (const Choice& c : table.choices()) items = std::max(items, c.item + 1);
    refuses_.resize(items);
    blocked_.assign(items, 0);
    for (const auto& [a, b] : apart) {
      if (a >= items || b >= items) continue;
      refuses_[a].push_back(b);
      if (a != b) refuses_[b].push_back(a);
    }
    counts_.assign(table.choices().size(), 0);
  }

  // False: gave up. Otherwise `best` is the most value, and `items` is a filling worth it, where above `floor`.
  bool run(std::int64_t capacity, std::int64_t floor) {
    best_ = static_cast<double>(floor);
    nodes_ = 0;
    items.clear();
    descend(0, capacity, 0);
    best = static_cast<std::int64_t>(best_);
    return nodes_ <= most_nodes_;
  }

  std::int64_t best = 0;
  std::vector<ItemCount> items;
  std::int64_t nodes() const { return nodes_; }

 private:
  void descend(std::size_t at, std::int64_t room, double value) {
    if (++nodes_ > most_nodes_) return;
    if (value > best_) {
      best_ = value;
      items.clear();
      for (std::size_t j = 0; j < at; ++j)
        if (counts_[j] > 0) items.push_back({table_.choices()[j].item, counts_[j]});
    }
    for (; at < counts_.size(); ++at) {
      if (value + table_.suffix(at, room) <= best_) return;
      const Choice& c = table_.choices()[at];
      if (c.weight > room || blocked_[c.item] > 0 || c.value <= 0) continue;
      const bool alone = std::find(refuses_[c.item].begin(), refuses_[c.item].end(), c.item) != refuses_[c.item].end();
      const std::int64_t most = std::min(alone ? std::min<std::int64_t>(c.most, 1) : c.most, room / c.weight);
      for (int other : refuses_[c.item]) ++blocked_[other];
      for (std::int64_t n = most; n >= 1; --n) {
        const std::int64_t left = room - n * c.weight;
        const double now = value + static_cast<double>(n * c.value);
        if (now + table_.suffix(at + 1, left) <= best_) continue;
        counts_[at] = n;
        descend(at + 1, left, now);
        if (nodes_ > most_nodes_) break;
      }
      counts_[at] = 0;
      for (int other : refuses_[c.item]) --blocked_[other];
      if (nodes_ > most_nodes_) return;
    }
  }

  const KnapsackTable& table_;
  std::int64_t most_nodes_, nodes_ = 0;
  double best_ = 0;
  std::vector<std::vector<int>> refuses_;
  std::vector<int> blocked_;
  std::vector<std::int64_t> counts_;
};

}  // namespace

bool Pricer::refused(const Pattern& pattern) const {
  const auto count = [&](int item) {
    const auto at = std::lower_bound(pattern.items.begin(), pattern.items.end(), ItemCount{item, 0});
    return at != pattern.items.end() && at->item == item ? at->count : 0;
  };
  return std::any_of(apart_.begin(), apart_.end(), [&](const std::pair<int, int>& pair) {
    return pair.first == pair.second ? count(pair.first) > 1 : count(pair.first) > 0 && count(pair.second) > 0;
  });
}

void Pricer::offer_apart(int family, std::span<const std::int64_t> demand, std::span<const std::int64_t> limit,
                         std::span<const std::int64_t> threshold, bool diverse, Offer& offer, Work& work) {
  const std::size_t before = offer.patterns.size();
  std::vector<Choice> choices = choices_for(model_, family, offer.prices.price, demand);
  const std::int64_t longest = longest_bar(model_, family, limit);
  if (KnapsackTable::cells(choices.size(), longest) > kMostTableCells) {
    // Without the refusals: a bound all the same, and the patterns that keep to them.
    offer_by_search(family, demand, limit, threshold, diverse, offer, work);
    offer.prices.exact = false;
    std::erase_if(offer.patterns, [&](const Pattern& p) { return refused(p); });
    return;
  }
  if (!offer_by_table(family, demand, limit, threshold, diverse, offer, work)) return;
  const auto kept = std::stable_partition(offer.patterns.begin() + static_cast<std::ptrdiff_t>(before),
                                          offer.patterns.end(), [&](const Pattern& p) { return !refused(p); });
  offer.patterns.erase(kept, offer.patterns.end());
  ApartSearch search(table_, apart_, kApartNodes);
  for (int k = 0; k < model_.kinds(); ++k) {
    const Bar& bar = model_.bars[k];
    if (bar.family != family || limit[k] <= 0 || offer.prices.worth[k] <= threshold[k]) continue;
    const bool exact = search.run(bar.length, threshold[k]);
    work.spend(10 * search.nodes());
    offer.prices.exact = false;
    if (exact) offer.prices.worth[k] = search.best;
    if (search.items.empty()) continue;
    Pattern found{k, search.items};
    std::sort(found.items.begin(), found.items.end());
    offer.patterns.push_back(std::move(found));
  }
}

}  // namespace garthwright::cutting
