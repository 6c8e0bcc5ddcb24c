// SPDX-License-Identifier: Apache-2.0
#include "cutting/greedy.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>

#include "cutting/knapsack.h"
#include "cutting/lower_bound.h"

namespace garthwright::cutting {
namespace {

/// Bars given as (length, cost, limit), longest first; one row for each piece (length, wanted), longest first.
Model model_of(std::vector<Bar> bars, std::vector<std::pair<std::int64_t, std::int64_t>> pieces) {
  Model model;
  std::sort(pieces.rbegin(), pieces.rend());
  for (const auto& [length, wanted] : pieces) {
    model.items.push_back({length, model.rows(), 1});
    model.demand.push_back(wanted);
  }
  model.bars = std::move(bars);
  model.families = {{std::vector<char>(model.items.size(), 1)}};
  return model;
}

Work plenty() { return {1'000'000'000, 0, nullptr}; }

/// Every bar holds what it is cut into, every piece is cut, no kind is used more often than it may be.
void expect_sound(const Model& model, const Plan& plan) {
  Remainder left = all_of(model);
  std::int64_t cost = 0;
  for (const Use& use : plan.uses) {
    std::int64_t length = 0;
    for (const ItemCount& part : use.pattern.items) {
      length += part.count * model.items[part.item].length;
      left.demand[model.items[part.item].row] -= part.count * use.count;
    }
    EXPECT_LE(length, model.bars[use.pattern.bar].length);
    left.limit[use.pattern.bar] -= use.count;
    cost += use.count * model.bars[use.pattern.bar].cost;
  }
  for (const std::int64_t d : left.demand) EXPECT_LE(d, 0);
  for (const std::int64_t l : left.limit) EXPECT_GE(l, 0);
  EXPECT_EQ(cost, plan.cost);
}

/// A filling is kept while all of it is still wanted. With every bar bought once and searched anew the bars come out
/// with the same worth, one after another.
TEST(Greedy, KeepsAFillingOnlyWhileItIsTheBest) {
  std::mt19937_64 random(3);
  const auto whole = [&](int low, int high) { return low + static_cast<int>(random() % (high - low + 1)); };
  int bars = 0;
  for (int trial = 0; trial < 300; ++trial) {
    std::vector<std::pair<std::int64_t, std::int64_t>> pieces;
    for (int n = whole(2, 7); n > 0; --n) pieces.push_back({whole(10, 60), whole(1, 9)});
    const Model model = model_of({{whole(80, 120), 1, 1000, false, 0, 0}}, pieces);
    std::vector<double> value;
    for (const Item& item : model.items) value.push_back(static_cast<double>(item.length));
    Work work = plenty();
    const std::optional<Plan> plan = fill_by_value(model, all_of(model), value, false, work, true);
    ASSERT_TRUE(plan);
    expect_sound(model, *plan);
    std::vector<std::int64_t> price, left = model.demand;
    for (const Item& item : model.items) price.push_back(item.length);
    for (const Use& use : plan->uses)
      for (std::int64_t n = 0; n < use.count; ++n) {
        const Knapsack::Answer best =
            Knapsack(choices_for(model, 0, price, left)).best(model.bars[0].length, 0, 1'000'000, work);
        std::int64_t filled = 0;
        for (const ItemCount& part : use.pattern.items) {
          filled += part.count * model.items[part.item].length;
          left[model.items[part.item].row] -= part.count;
        }
        EXPECT_EQ(filled, best.value) << "trial " << trial;
        ++bars;
      }
  }
  EXPECT_GT(bars, 2'000);
}

TEST(Greedy, BeginsEveryBarWithTheLongestPieceWhereItIsToldTo) {
  const Model model = model_of({{100, 1, 1000, false, 0, 0}}, {{70, 2}, {50, 4}, {30, 2}});
  const std::vector<double> value{70, 50, 30};
  Work work = plenty();
  const std::optional<Plan> plan = fill_by_value(model, all_of(model), value, true, work);
  ASSERT_TRUE(plan);
  EXPECT_EQ(plan->uses.front().pattern.items, (std::vector<ItemCount>{{0, 1}, {2, 1}}));
  EXPECT_EQ(plan->cost, 4);
}

/// Lengths of 15 to 20 % of a bar: five of any fill one, six of the shorter ones do, and only those full to the last
/// unit leave few enough bars. Generated; asks that one more look at every bar is worth its time.
TEST(Greedy, FillsBarsWithSixPiecesWhereSixFit) {
  std::mt19937_64 random(5);
  const auto whole = [&](int low, int high) { return low + static_cast<int>(random() % (high - low + 1)); };
  int closed = 0;
  for (int trial = 0; trial < 30; ++trial) {
    std::vector<std::int64_t> count(51, 0);
    for (int n = 0; n < 100; ++n) ++count[static_cast<std::size_t>(whole(0, 50))];
    std::vector<std::pair<std::int64_t, std::int64_t>> pieces;
    for (int l = 0; l <= 50; ++l)
      if (count[static_cast<std::size_t>(l)] > 0) pieces.push_back({150 + l, count[static_cast<std::size_t>(l)]});
    const Model model = model_of({{1000, 1, 1000, false, 0, 0}}, pieces);
    Work work = plenty();
    const std::int64_t bound = cost_bound(model, all_of(model), length_prices(model));
    const std::optional<Plan> plan = greedy_plan(model, all_of(model), 8, bound, work);
    ASSERT_TRUE(plan);
    expect_sound(model, *plan);
    closed += plan->cost == bound;
  }
  EXPECT_GE(closed, 25);
}

/// The longest piece fits the one long bar only, and that is used up for the shorter ones unless it comes first.
TEST(Greedy, KeepsToLimits) {
  const Model model = model_of({{100, 10, 1, true, 0, 0}, {60, 7, 1000, false, 0, 0}}, {{90, 1}, {50, 3}, {40, 3}});
  Work work = plenty();
  std::vector<Pattern> met;
  const std::optional<Plan> plan = greedy_plan(model, all_of(model), 8, 0, work, &met);
  ASSERT_TRUE(plan);
  expect_sound(model, *plan);
  EXPECT_EQ(plan->cost, 10 + 6 * 7);
  for (const Use& use : plan->uses) EXPECT_NE(std::find(met.begin(), met.end(), use.pattern), met.end());
}

}  // namespace
}  // namespace garthwright::cutting
