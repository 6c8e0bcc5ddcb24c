// SPDX-License-Identifier: Apache-2.0
#include "cutting/column_generation.h"

#include <gtest/gtest.h>

namespace garthwright::cutting {
namespace {

Model model_of(std::vector<Bar> bars) {
  Model model;
  model.demand = {7, 9, 12};
  model.items = {{52, 0}, {31, 1}, {17, 2}};
  model.bars = std::move(bars);
  model.families = {{{1, 1, 1}}};
  return model;
}

struct Solved {
  double value;
  bool lacking;
};

Solved to_the_end(Relaxation relaxation, Work& work) {
  relaxation.generate(work, [](const Prices&, double) { return false; });
  return {relaxation.value(), relaxation.lacking()};
}

std::vector<double> costs_of(const Model& model) {
  std::vector<double> cost;
  for (const Bar& bar : model.bars) cost.push_back(static_cast<double>(bar.cost));
  return cost;
}

// The relaxation of the whole with narrower limits is the one made anew with them, also where they are too narrow.
TEST(Relaxation, WithinLimitsIsTheOneMadeWithThem) {
  const Model model = model_of({{100, 40, 28}, {80, 33, 28}, {60, 23, 28}});
  Work work(1'000'000'000, 0, nullptr);
  PatternPool pool;
  Pricer pricer(model);
  Relaxation whole(model, all_of(model), costs_of(model), pool, pricer);
  whole.generate(work, [](const Prices&, double) { return false; });
  for (const std::vector<std::int64_t>& limit :
       {std::vector<std::int64_t>{4, 4, 4}, {10, 0, 0}, {0, 0, 16}, {5, 3, 0}, {1, 1, 1}}) {
    PatternPool own_pool;
    const Solved anew = to_the_end(Relaxation(model, {model.demand, limit}, costs_of(model), own_pool, pricer), work);
    const Solved within = to_the_end(whole.within(limit, work), work);
    EXPECT_NEAR(within.value, anew.value, 1e-4 * anew.value);
    EXPECT_EQ(within.lacking, anew.lacking);
  }
}

TEST(Relaxation, OfOneKindInPlentyIsLimitedByCostAlone) {
  const Model model = model_of({{100, 1, 28}});
  Work work(1'000'000'000, 0, nullptr);
  PatternPool pool;
  Pricer pricer(model);
  Relaxation whole(model, all_of(model), costs_of(model), pool, pricer);
  whole.generate(work, [](const Prices&, double) { return false; });
  ASSERT_TRUE(whole.plenty());
  const std::vector<std::int64_t> limit{20};
  EXPECT_NEAR(to_the_end(whole.within(limit, work), work).value, whole.value(), 1e-4 * whole.value());
}

TEST(PatternPool, KeepsEachPatternOnce) {
  PatternPool pool;
  for (int round = 0; round < 2; ++round)
    for (int n = 0; n < 1000; ++n) {
      bool fresh = false;
      EXPECT_EQ(pool.add({n % 3, {{n / 3, 1 + n % 5}}}, &fresh), n);
      EXPECT_EQ(fresh, round == 0);
    }
  EXPECT_EQ(pool.all().size(), 1000U);
}

}  // namespace
}  // namespace garthwright::cutting
