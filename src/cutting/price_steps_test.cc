// SPDX-License-Identifier: Apache-2.0
#include "cutting/price_steps.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <random>

namespace garthwright::cutting {
namespace {

using testing::ElementsAre;

TEST(PriceSteps, PostsOutOfOneLengthByHand) {
  // 4 posts from 4.8 m lengths: two to a length up to 2400, one above.
  Problem problem;
  problem.stock = {{.length = 4800, .cost = 12}};
  problem.pieces = {{.length = 2300, .quantity = 4}};
  const PriceSteps found = price_steps(problem, 0, 2000, 2600);
  EXPECT_THAT(found.steps, ElementsAre(PriceStep{2000, 2400, 24, 24}, PriceStep{2401, 2600, 48, 48}));
  EXPECT_TRUE(found.proven());
}

TEST(PriceSteps, EndWherePiecesBecomeTooLong) {
  Problem problem;
  problem.stock = {{.length = 4800, .cost = 12}};
  problem.pieces = {{.length = 2300, .quantity = 1}};
  problem.trim = 10;
  const PriceSteps found = price_steps(problem, 0, 4700, 4900);
  EXPECT_THAT(found.steps, ElementsAre(PriceStep{4700, 4790, 12, 12}));
  EXPECT_EQ(found.diagnostics.at(0).code, "piece-too-long");
}

TEST(PriceSteps, AgreeWithEveryLengthSolvedAlone) {
  std::mt19937_64 random(5);
  const auto whole = [&](int low, int high) { return low + static_cast<int>(random() % (high - low + 1)); };
  for (int trial = 0; trial < 40; ++trial) {
    Problem problem;
    problem.kerf = whole(0, 3);
    problem.trim = whole(0, 5);
    for (int k = 0; k < 2; ++k) problem.stock.push_back({.length = whole(120, 200), .cost = whole(80, 150)});
    for (int i = 0; i < 4; ++i) problem.pieces.push_back({.length = whole(10, 90), .quantity = whole(1, 5)});
    const PriceSteps found = price_steps(problem, 0, 10, 100);
    ASSERT_FALSE(found.steps.empty());
    EXPECT_EQ(found.steps.front().from, 10);
    EXPECT_EQ(found.steps.back().to, 100);
    for (std::size_t s = 0; s < found.steps.size(); ++s) {
      if (s > 0) {
        EXPECT_EQ(found.steps[s].from, found.steps[s - 1].to + 1);
      }
      for (std::int64_t x = found.steps[s].from; x <= found.steps[s].to; ++x) {
        problem.pieces[0].length = x;
        EXPECT_EQ(solve(problem).cost, found.steps[s].cost) << x;
      }
    }
  }
}

}  // namespace
}  // namespace garthwright::cutting
