// SPDX-License-Identifier: Apache-2.0
#include "cutting/second_goals.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <random>

namespace garthwright::cutting {
namespace {

using testing::IsEmpty;

TEST(SecondGoals, LeaveTheLongestOffCutAtTheSameCost) {
  // Two bars of 100 for 60, 50, 40, 10: as 60+40 and 50+10 the second leaves 40; as 50+40+10 and 60 it is 40 too;
  // 60+40 | 50+10 or 60+10 | 50+40 ... the best puts 60 alone or 50+10 aside: 40.
  Problem problem;
  problem.stock = {{.length = 100, .cost = 7}};
  problem.pieces = {{.length = 60}, {.length = 50}, {.length = 40}, {.length = 10}};
  const SecondGoals found = pursue_second_goals(problem, solve(problem));
  EXPECT_EQ(found.result.cost, 14);
  EXPECT_EQ(found.longest_rest, 40);
  EXPECT_TRUE(found.longest_rest_proven);
  EXPECT_THAT(faults(problem, found.result), IsEmpty());
}

TEST(SecondGoals, CutAllBarsAlikeWherePossible) {
  Problem problem;
  problem.stock = {{.length = 100, .cost = 7}};
  problem.pieces = {{.length = 60, .quantity = 4}, {.length = 20, .quantity = 8}};
  const SecondGoals found = pursue_second_goals(problem, solve(problem));
  EXPECT_EQ(found.layouts, 1);
  EXPECT_TRUE(found.fewest_layouts_proven);
  EXPECT_THAT(faults(problem, found.result), IsEmpty());
}

// The longest rest of a bar over all plans of a given cost, by trying everything: pieces are put one by one into bars
// already begun or into a new one.
std::int64_t longest_by_trial(const Problem& problem, std::int64_t cost) {
  std::vector<std::int64_t> pieces;
  for (const Piece& piece : problem.pieces) pieces.insert(pieces.end(), piece.quantity, piece.length);
  std::vector<std::pair<int, std::int64_t>> bars;  // (stock, room left, before the next kerf)
  std::int64_t best = -1;
  const auto place = [&](const auto& self, std::size_t at, std::int64_t left) -> void {
    if (at == pieces.size()) {
      for (const auto& [k, room] : bars) best = std::max(best, std::max<std::int64_t>(0, room - problem.kerf));
      return;
    }
    for (std::size_t b = 0; b < bars.size(); ++b) {
      const std::int64_t needed = pieces[at] + problem.kerf;
      if (bars[b].second < needed) continue;
      bars[b].second -= needed;
      self(self, at + 1, left);
      bars[b].second += needed;
    }
    for (int k = 0; k < static_cast<int>(problem.stock.size()); ++k) {
      const std::int64_t room = problem.stock[k].length - problem.trim;
      if (problem.stock[k].cost > left || room < pieces[at]) continue;
      bars.push_back({k, room - pieces[at]});
      self(self, at + 1, left - problem.stock[k].cost);
      bars.pop_back();
    }
  };
  place(place, 0, cost);
  return best;
}

TEST(SecondGoals, LongestOffCutAgreesWithTryingEverything) {
  std::mt19937_64 random(11);
  const auto whole = [&](int low, int high) { return low + static_cast<int>(random() % (high - low + 1)); };
  for (int trial = 0; trial < 300; ++trial) {
    SCOPED_TRACE(trial);
    Problem problem;
    problem.kerf = whole(0, 2);
    problem.trim = whole(0, 3);
    for (int k = whole(1, 2); k > 0; --k) problem.stock.push_back({.length = whole(25, 50), .cost = whole(5, 12)});
    for (int i = whole(1, 3); i > 0; --i) problem.pieces.push_back({.length = whole(3, 20), .quantity = whole(1, 3)});
    const Result least = solve(problem);
    ASSERT_TRUE(least.optimal);
    const SecondGoals found = pursue_second_goals(problem, least);
    EXPECT_THAT(faults(problem, found.result), IsEmpty());
    EXPECT_EQ(found.result.cost, least.cost);
    EXPECT_TRUE(found.longest_rest_proven);
    EXPECT_EQ(found.longest_rest, longest_by_trial(problem, least.cost));
    EXPECT_LE(found.layouts, static_cast<int>(found.result.layouts.size()));
  }
}

}  // namespace
}  // namespace garthwright::cutting
