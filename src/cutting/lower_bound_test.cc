// SPDX-License-Identifier: Apache-2.0
#include "cutting/lower_bound.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>

#include "cutting/work.h"

namespace garthwright::cutting {
namespace {

Model one_kind(std::int64_t bar, std::vector<std::pair<std::int64_t, std::int64_t>> pieces) {
  Model model;
  std::sort(pieces.rbegin(), pieces.rend());
  for (const auto& [length, count] : pieces) {
    model.items.push_back({length, model.rows(), 1});
    model.demand.push_back(count);
  }
  model.bars = {{bar, 1, 1000, false, 0, 0}};
  model.families = {{std::vector<char>(model.items.size(), 1)}};
  return model;
}

std::int64_t bars_by(const Model& model, const Prices& prices) { return cost_bound(model, all_of(model), prices); }

TEST(LowerBound, CountsPiecesLongerThanHalfABarOneByOne) {
  const Model model = one_kind(100, {{51, 7}});
  EXPECT_EQ(bars_by(model, length_prices(model)), 4);
  EXPECT_EQ(bars_by(model, step_prices(model)), 7);
}

/// Nothing as long as 40 goes beside a 70, so that the 70s have their bars alone: 3 + ceil(4 * 40 / 100).
TEST(LowerBound, LeavesNoRoomBesideALongPieceForOneThatDoesNotFit) {
  const Model model = one_kind(100, {{70, 3}, {40, 4}, {10, 2}});
  EXPECT_EQ(bars_by(model, length_prices(model)), 4);
  EXPECT_EQ(bars_by(model, step_prices(model)), 5);
}

TEST(LowerBound, KnowsThatOnlyTwoPiecesAboveAThirdFit) {
  const Model model = one_kind(100, {{35, 8}});
  EXPECT_EQ(bars_by(model, length_prices(model)), 3);
  EXPECT_EQ(bars_by(model, step_prices(model)), 4);
}

/// No filling of a bar is worth more than is said, whatever the lengths; two from one cut are worth no more than it.
TEST(LowerBound, WorthOfStepPricesHoldsForEveryFilling) {
  std::mt19937_64 random(7);
  const auto whole = [&](int low, int high) { return low + static_cast<int>(random() % (high - low + 1)); };
  for (int trial = 0; trial < 2'000; ++trial) {
    const int bar = whole(5, 120);
    std::vector<std::pair<std::int64_t, std::int64_t>> pieces;
    for (int n = whole(1, 8); n > 0; --n) pieces.push_back({whole(1, bar), whole(1, 9)});
    Model model = one_kind(bar, pieces);
    if (trial % 3 == 0) model.items[static_cast<std::size_t>(whole(0, model.rows() - 1))].yield = 2;
    const Prices prices = step_prices(model);
    Work work(1'000'000'000, 0, nullptr);
    std::vector<std::int64_t> plenty(model.demand.size(), bar);
    Knapsack knapsack(choices_for(model, 0, prices.price, plenty));
    const Knapsack::Answer answer = knapsack.best(bar, 0, 10'000'000, work);
    ASSERT_TRUE(answer.exact);
    EXPECT_LE(answer.value, prices.worth.front()) << "trial " << trial;
    EXPECT_GE(bars_by(model, prices), bars_by(model, length_prices(model)));
  }
}

}  // namespace
}  // namespace garthwright::cutting
