// SPDX-License-Identifier: Apache-2.0
#include "cutting/lower_bound.h"

#include <algorithm>
#include <limits>

namespace garthwright::cutting {
namespace {

__int128 total(std::span<const std::int64_t> demand, const Prices& prices) {
  __int128 sum = 0;
  for (std::size_t i = 0; i < demand.size(); ++i) sum += static_cast<__int128>(prices.price[i]) * demand[i];
  return sum;
}

__int128 ceil_div(__int128 a, __int128 b) { return a <= 0 ? 0 : (a + b - 1) / b; }

// Prices divided by alpha = worth/cost: every bar k then costs at least worth[k]/alpha, save limited ones, which may
// repay the difference as often as there are of them.
std::int64_t scaled_bound(const Model& model, const Remainder& remainder, const Prices& prices, std::int64_t worth,
                          std::int64_t cost) {
  __int128 sum = total(remainder.demand, prices) * cost;
  for (int k = 0; k < model.kinds(); ++k) {
    const Bar& bar = model.bars[k];
    const __int128 missing = static_cast<__int128>(bar.cost) * worth - static_cast<__int128>(prices.worth[k]) * cost;
    if (missing < 0) sum += missing * remainder.limit[k];
  }
  return static_cast<std::int64_t>(ceil_div(sum, worth));
}

}  // namespace

std::int64_t cost_bound(const Model& model, const Remainder& remainder, const Prices& prices) {
  // alpha may be any ratio; the best is among those of the bars themselves.
  std::int64_t best = 0;
  for (int k = 0; k < model.kinds(); ++k) {
    if (prices.worth[k] <= 0 || model.bars[k].cost <= 0) continue;
    best = std::max(best, scaled_bound(model, remainder, prices, prices.worth[k], model.bars[k].cost));
  }
  return best;
}

__int128 mix_slack(const Model& model, const Prices& prices, std::span<const std::int64_t> mix) {
  __int128 slack = -total(model.demand, prices);
  for (int k = 0; k < model.kinds(); ++k) slack += static_cast<__int128>(prices.worth[k]) * mix[k];
  return slack;
}

Prices length_prices(const Model& model) {
  Prices prices;
  prices.price.assign(model.rows(), std::numeric_limits<std::int64_t>::max());
  // A row got several ways is worth no more than the shortest of them per piece.
  for (const Item& item : model.items)
    prices.price[item.row] = std::min(prices.price[item.row], item.length / item.yield);
  for (const Bar& bar : model.bars) prices.worth.push_back(bar.length);
  return prices;
}

}  // namespace garthwright::cutting
