// SPDX-License-Identifier: Apache-2.0
#include "cutting/cutting.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace garthwright::cutting {
namespace {

using testing::IsEmpty;

Problem posts() {
  Problem problem;
  problem.stock = {{.length = 4800, .cost = 1290}, {.length = 3600, .cost = 989}};
  problem.pieces = {{.length = 2400, .quantity = 4}, {.length = 1150, .quantity = 7}};
  problem.kerf = 3;
  problem.trim = 10;
  return problem;
}

TEST(Cutting, FindsLeastCostByHand) {
  // 4790 usable: 4 x 1150 + 3 kerfs = 4609, or 2400 + 2 x 1150 + 2 kerfs = 4706; never two of 2400.
  // Four 2400s need four bars; each 4800 takes two 1150 beside, each 3600 takes one.
  // 3 x (2400 + 1150 + 1150) + 1 x (2400 + 1150) = 3 x 1290 + 989.
  const Result result = solve(posts());
  EXPECT_EQ(result.verdict, Verdict::solved);
  EXPECT_EQ(result.cost, 3 * 1290 + 989);
  EXPECT_TRUE(result.optimal);
  EXPECT_THAT(faults(posts(), result), IsEmpty());
}

TEST(Cutting, LastCutThatEndsFlushNeedsNoKerf) {
  Problem problem;
  problem.stock = {{.length = 2003, .cost = 10}};
  problem.pieces = {{.length = 1000, .quantity = 2}};
  problem.kerf = 3;
  const Result result = solve(problem);
  EXPECT_EQ(result.cost, 10);
  EXPECT_EQ(result.layouts.at(0).rest, 0);
}

TEST(Cutting, OffCutIsNotTrimmed) {
  Problem problem;
  problem.stock = {{.length = 1000, .cost = 0, .limit = 1, .off_cut = true}, {.length = 1000, .cost = 5}};
  problem.pieces = {{.length = 1000, .quantity = 1}};
  problem.trim = 10;
  EXPECT_EQ(solve(problem).cost, 0);
  problem.pieces[0].quantity = 2;
  EXPECT_EQ(solve(problem).verdict, Verdict::infeasible);
}

TEST(Cutting, SaysWhichPieceIsTooLong) {
  Problem problem = posts();
  problem.pieces.push_back({.length = 4795, .quantity = 1});
  const Result result = solve(problem);
  EXPECT_EQ(result.verdict, Verdict::infeasible);
  EXPECT_EQ(result.piece, 2);
  ASSERT_EQ(result.diagnostics.size(), 1u);
  EXPECT_EQ(to_string(result.diagnostics[0]),
            "piece 3: error: length 4795 comes out of no stock; the longest usable length is 4790 after the trim "
            "[piece-too-long]");
}

TEST(Cutting, PickStraightPiecesComeFromTheirStock) {
  Problem problem = posts();
  problem.stock.push_back({.length = 4800, .cost = 1900});
  problem.pieces[0].only_from = {2};
  const Result result = solve(problem);
  EXPECT_TRUE(result.optimal);
  EXPECT_THAT(faults(problem, result), IsEmpty());
  EXPECT_GE(result.cost, 4 * 1900);
}

TEST(Cutting, TwoBattensFromOneWiderLathWhenCheaper) {
  Problem problem;
  problem.stock = {{.length = 2400, .cost = 300}, {.length = 2400, .cost = 500}};
  problem.pieces = {{.length = 1200, .quantity = 4, .only_from = {0}, .alternatives = {{1200, 2, {1}}}}};
  EXPECT_EQ(solve(problem).cost, 500);
  problem.stock[1].cost = 700;
  EXPECT_EQ(solve(problem).cost, 600);
}

}  // namespace
}  // namespace garthwright::cutting
