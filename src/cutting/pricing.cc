// SPDX-License-Identifier: Apache-2.0
#include "cutting/pricing.h"

#include <algorithm>
#include <cmath>

namespace garthwright::cutting {
namespace {

constexpr double kMostWorth = 281474976710656.0;  // 2^48
constexpr std::int64_t kNodesWithoutTable = 3'000'000;
constexpr std::int64_t kForcedNodes = 200;

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

Pricer::Offer Pricer::offer(std::vector<std::int64_t> price, std::span<const std::int64_t> demand,
                            std::span<const std::int64_t> limit, std::span<const std::int64_t> threshold, bool diverse,
                            Work& work) {
  Offer offer;
  offer.prices.price = std::move(price);
  offer.prices.worth.assign(model_.kinds(), 0);
  search_failed_.resize(model_.families.size(), 0);
  for (int family = 0; family < static_cast<int>(model_.families.size()); ++family) {
    if (longest_bar(model_, family, limit) == 0) continue;
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
    for (const Choice& c : choices) {
      if (covered[c.item]) continue;
      std::vector<Choice> rest = choices;
      for (Choice& r : rest)
        if (r.item == c.item) --r.most;
      Knapsack with(std::move(rest));
      for (int k = 0; k < model_.kinds(); ++k) {
        const Bar& bar = model_.bars[k];
        if (bar.family != family || limit[k] <= 0 || bar.length < c.weight) continue;
        if (c.value + static_cast<std::int64_t>(0) > offer.prices.worth[k]) continue;
        Knapsack::Answer answer =
            with.best(bar.length - c.weight, std::max<std::int64_t>(0, threshold[k] - c.value), kForcedNodes, work);
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
  offer.patterns.insert(offer.patterns.end(), found.begin(), found.end());
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

}  // namespace garthwright::cutting
