// SPDX-License-Identifier: Apache-2.0
#include "cutting/lower_bound.h"

#include <algorithm>
#include <limits>
#include <numeric>

namespace garthwright::cutting {
namespace {

__int128 total(std::span<const std::int64_t> demand, const Prices& prices) {
  __int128 sum = 0;
  for (std::size_t i = 0; i < demand.size(); ++i) sum += static_cast<__int128>(prices.price[i]) * demand[i];
  return sum;
}

constexpr std::int64_t kMostSteps = 5;

// Lengths up to `whole` rounded in steps of a (steps + 1)th of it, in units that make it worth steps * whole.
std::int64_t stepped(std::int64_t length, std::int64_t whole, std::int64_t steps) {
  if (steps == 0) return length;
  const std::int64_t shares = (steps + 1) * length;
  return shares % whole == 0 ? length * steps : shares / whole * whole;
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

Prices step_prices(const Model& model) {
  const std::int64_t whole = model.bars.front().length;
  const std::vector<std::int64_t> length = length_prices(model).price;
  std::vector<int> order(length.size());
  std::iota(order.begin(), order.end(), 0);
  std::sort(order.begin(), order.end(), [&](int a, int b) { return length[a] > length[b]; });
  std::int64_t best_steps = 0, best_end = 0;
  __int128 best_bars = -1;
  std::vector<__int128> sum(order.size() + 1, 0);  // of the longest so many rows
  std::vector<std::int64_t> pieces(order.size() + 1, 0);
  for (std::int64_t steps = 0; steps <= kMostSteps; ++steps) {
    const std::int64_t unit = std::max<std::int64_t>(steps, 1) * whole;
    for (std::size_t i = 0; i < order.size(); ++i) {
      const std::int64_t demand = model.demand[order[i]];
      sum[i + 1] = sum[i] + static_cast<__int128>(stepped(length[order[i]], whole, steps)) * demand;
      pieces[i + 1] = pieces[i] + demand;
    }
    // `raised` rows count as whole bars, those from `counted` on as nothing.
    const auto consider = [&](std::size_t raised, std::size_t counted, std::int64_t end) {
      const __int128 bars = ceil_div(sum[counted] - sum[raised] + static_cast<__int128>(pieces[raised]) * unit, unit);
      if (bars <= best_bars) return;
      best_bars = bars;
      best_steps = steps;
      best_end = end;
    };
    consider(0, order.size(), 0);
    std::size_t raised = 0;
    for (std::size_t i = order.size(); i-- > 0;) {
      const std::int64_t end = length[order[i]];
      if (2 * end > whole) break;
      while (raised < order.size() && length[order[raised]] > whole - end) ++raised;
      if (raised > 0) consider(raised, i + 1, end);
    }
  }
  Prices best;
  best.worth = {std::max<std::int64_t>(best_steps, 1) * whole};
  for (const std::int64_t l : length) {
    const bool raised = l > whole - best_end;
    best.price.push_back(raised ? best.worth.front() : l < best_end ? 0 : stepped(l, whole, best_steps));
  }
  return best;
}

}  // namespace garthwright::cutting
