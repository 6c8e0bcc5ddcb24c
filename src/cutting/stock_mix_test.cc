// SPDX-License-Identifier: Apache-2.0
#include "cutting/stock_mix.h"

#include <gtest/gtest.h>

#include <random>
#include <set>

#include "cutting/lower_bound.h"

namespace garthwright::cutting {
namespace {

/// Whether one more bar, no dearer, could stand for two of the mix.
bool wasteful(const Model& model, std::vector<std::int64_t> bars) {
  for (std::size_t a = 0; a < bars.size(); ++a)
    for (std::size_t b = 0; b < bars.size(); ++b)
      for (std::size_t whole = 0; whole < bars.size(); ++whole) {
        const Bar &w = model.bars[whole], &x = model.bars[a], &y = model.bars[b];
        if (bars[a] < 1 || bars[b] < 1 || (a == b && bars[a] < 2) || x.cost == 0 || y.cost == 0) continue;
        if (bars[whole] < w.limit && w.length >= x.length + y.length && w.cost <= x.cost + y.cost) return true;
      }
  return false;
}

/// Every mix there is that has all free bars and is not wasteful, asked one by one.
std::set<std::vector<std::int64_t>> all_mixes(const Model& model, std::int64_t low, std::int64_t high,
                                              const std::vector<Prices>& prices) {
  std::set<std::vector<std::int64_t>> found;
  std::vector<std::int64_t> bars(model.bars.size(), 0);
  for (;;) {
    std::int64_t cost = 0;
    bool all_free = true;
    for (std::size_t k = 0; k < bars.size(); ++k) {
      cost += bars[k] * model.bars[k].cost;
      all_free = all_free && (model.bars[k].cost > 0 || bars[k] == model.bars[k].limit);
    }
    if (all_free && !wasteful(model, bars) && cost >= low && cost <= high &&
        std::all_of(prices.begin(), prices.end(), [&](const Prices& p) { return mix_slack(model, p, bars) >= 0; }))
      found.insert(bars);
    std::size_t k = 0;
    while (k < bars.size() && ++bars[k] > model.bars[k].limit) bars[k++] = 0;
    if (k == bars.size()) return found;
  }
}

TEST(StockMix, ListsEveryMixThatNoPriceRefutes) {
  std::mt19937_64 random(1);
  const auto whole = [&](int low, int high) { return low + static_cast<int>(random() % (high - low + 1)); };
  std::size_t listed = 0;
  for (int trial = 0; trial < 500; ++trial) {
    Model model;
    model.demand = {whole(1, 9), whole(1, 9)};
    for (int k = whole(1, 4); k > 0; --k) {
      const int cost = whole(0, 4) == 0 ? 0 : whole(3, 30);
      model.bars.push_back({whole(20, 60), cost, whole(1, 7), false, 0, 0});
    }
    std::sort(model.bars.begin(), model.bars.end(), [](const Bar& a, const Bar& b) { return a.length > b.length; });
    model.families = {{{1, 1}}};
    std::vector<Prices> prices(static_cast<std::size_t>(whole(1, 3)));
    for (Prices& p : prices) {
      p.price = {whole(0, 12), whole(0, 12)};
      for (const Bar& bar : model.bars) p.worth.push_back(whole(0, 9) == 0 ? 0 : bar.length / 2 + whole(0, 20));
    }
    const std::int64_t low = whole(0, 60), high = low + whole(0, 80);
    Work work(1'000'000'000, 0, nullptr);
    const auto mixes = list_mixes(model, low, high, prices, 100'000, work);
    ASSERT_TRUE(mixes);
    std::set<std::vector<std::int64_t>> bars;
    for (const Mix& mix : *mixes) bars.insert(mix.bars);
    EXPECT_EQ(bars.size(), mixes->size());
    EXPECT_EQ(bars, all_mixes(model, low, high, prices)) << "trial " << trial;
    listed += bars.size();
  }
  EXPECT_GT(listed, 4'000U);
}

/// Whoever can have a bar of 90 for no more than two of 40 and 50 has no use for those two together.
TEST(StockMix, LeavesOutTwoBarsThatOneReplaces) {
  Model model;
  model.demand = {10};
  model.bars = {{90, 10, 1, true, 0, 0}, {50, 6, 20, false, 0, 0}, {40, 4, 20, false, 0, 0}};
  model.families = {{{1}}};
  const std::vector<Prices> prices{{{9}, {90, 50, 40}}};
  Work work(1'000'000'000, 0, nullptr);
  const auto mixes = list_mixes(model, 10, 12, prices, 100, work);
  ASSERT_TRUE(mixes);
  std::vector<std::vector<std::int64_t>> bars;
  for (const Mix& mix : *mixes) bars.push_back(mix.bars);
  EXPECT_EQ(bars, (std::vector<std::vector<std::int64_t>>{{1, 0, 0}, {0, 2, 0}, {0, 0, 3}}));
}

/// A mix for exactly the money asked for was once overlooked: nothing was left to pay for the free off-cut with.
TEST(StockMix, CountsWhatIsFreeWhenTheMoneyIsSpent) {
  Model model;
  model.demand = {10};
  model.bars = {{50, 7, 20, false, 0, 0}, {20, 0, 1, true, 0, 0}};
  model.families = {{{1}}};
  const std::vector<Prices> prices{{{12}, {50, 20}}};
  Work work(1'000'000'000, 0, nullptr);
  const auto mixes = list_mixes(model, 14, 14, prices, 100, work);
  ASSERT_TRUE(mixes);
  ASSERT_EQ(mixes->size(), 1U);
  EXPECT_EQ(mixes->front().bars, (std::vector<std::int64_t>{2, 1}));
}

/// Where they are too many, those found so far are handed out: good enough to learn prices from.
TEST(StockMix, HandsOutSomeWhereAllAreTooMany) {
  Model model;
  model.demand = {3};
  model.bars = {{50, 10, 20, false, 0, 0}, {40, 9, 20, false, 0, 0}};
  model.families = {{{1}}};
  const std::vector<Prices> prices{{{10}, {50, 40}}};
  Work work(1'000'000'000, 0, nullptr);
  std::vector<Mix> some;
  EXPECT_FALSE(list_mixes(model, 0, 300, prices, 5, work, &some));
  ASSERT_FALSE(some.empty());
  for (const Mix& mix : some) EXPECT_EQ(mix.cost, 10 * mix.bars[0] + 9 * mix.bars[1]);
}

}  // namespace
}  // namespace garthwright::cutting
