// SPDX-License-Identifier: Apache-2.0
#include "assembly/turns.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <numeric>

#include "assembly/access.h"
#include "assembly/blocking.h"
#include "assembly/test_shapes.h"

namespace garthwright::assembly {
namespace {

using testing::box;
using testing::piece;
using testing::Random;
using testing::screw;

/// A board on two battens, screwed from both sides.
Assembly hatch() {
  Assembly a;
  a.pieces = {piece("board", {box(0, 0, 40, 600, 400, 60)}), piece("batten", {box(0, 50, 0, 600, 100, 40)}),
              piece("cleat", {box(0, 300, 60, 600, 350, 100)})};
  a.fasteners = {screw("from above", {0, 1}, {300, 75, 60}, {0, 0, 1}),
                 screw("from below", {0, 2}, {300, 325, 40}, {0, 0, -1})};
  return a;
}

int turns(const Assembly& a, std::optional<Vec3> from = {}, Vec3 final_down = {0, 0, -1}) {
  const LeastTurns least = least_turns(a, axis_ways(), {final_down, from});
  EXPECT_TRUE(least.proved);
  return least.turns.value_or(-1);
}

TEST(Turns, ScrewsFromBothSidesNeedOneTurnUnlessItIsDoneOnEdge) {
  // On edge both screws are reached; then it is laid down: one turn, as from upside down. Standing on edge at the end:
  // none.
  EXPECT_EQ(turns(hatch()), 1);
  EXPECT_EQ(turns(hatch(), Vec3{0, 0, -1}), 2);
  EXPECT_EQ(turns(hatch(), Vec3{0, 0, 1}), 1);
  EXPECT_EQ(turns(hatch(), {}, {1, 0, 0}), 0);
}

TEST(Turns, ScrewsFromOneSideNeedNone) {
  Assembly a = hatch();
  a.fasteners.pop_back();
  EXPECT_EQ(turns(a), 0);
  EXPECT_EQ(turns(a, Vec3{0, 0, 1}), 1);
}

TEST(Turns, AnUnreachableScrewLeavesNoAnswer) {
  Assembly a = hatch();
  a.fasteners = {screw("inside", {0, 1}, {300, 75, 20}, {0, 0, 1})};
  EXPECT_EQ(turns(a), -1);
}

// Side by side, in any order: 2^22 states in six attitudes, of which a bounded number is kept.
TEST(Turns, TooManyOrdersAreNotLookedThroughToTheEnd) {
  Assembly a;
  for (int i = 0; i < 22; ++i) a.pieces.push_back(piece("box", {box(100 * i, 0, 0, 100 * i + 90, 90, 40)}));
  a.fasteners = {screw("inside", {0}, {45, 45, 20}, {0, 0, 1})};  // never driven
  const LeastTurns least = least_turns(a, axis_ways(), {}, {20'000});
  EXPECT_FALSE(least.proved);
  EXPECT_FALSE(least.turns);
  a.fasteners.clear();
  EXPECT_EQ(turns(a), 0);
}

/// Orders of pieces by brute force: between any two steps the whole may be put into any attitude; the fewest changes
/// for one order of pieces by running over attitudes.
int by_brute_force(const Assembly& a, std::optional<Vec3> from) {
  const int n = static_cast<int>(a.pieces.size()), screws = static_cast<int>(a.fasteners.size());
  const Blocking blocking(a, axis_ways());
  const Access access(a);
  constexpr int never = 1000;
  int best = never;
  std::vector<int> order(n);
  std::iota(order.begin(), order.end(), 0);
  do {
    // cost[down][driven]: after the pieces placed so far.
    std::vector<std::vector<int>> cost(6, std::vector<int>(1 << screws, never));
    for (int d = 0; d < 6; ++d) cost[d][0] = !from || axis_ways()[d] == *from ? 0 : 1;
    PieceSet placed(n);
    const auto settle = [&] {
      for (int pass = 0; pass < screws + 2; ++pass) {
        for (int d = 0; d < 6; ++d) {
          for (int m = 0; m < 1 << screws; ++m) {
            for (int e = 0; e < 6; ++e) cost[e][m] = std::min(cost[e][m], cost[d][m] + (e != d));
            for (int f = 0; f < screws; ++f) {
              if (access.fit(f, placed, axis_ways()[d], false) == Fit::fits) {
                cost[d][m | 1 << f] = std::min(cost[d][m | 1 << f], cost[d][m]);
              }
            }
          }
        }
      }
    };
    settle();
    for (int i : order) {
      for (int d = 0; d < 6; ++d) {
        const Vec3 down = axis_ways()[d];
        bool comes = false;
        for (int way = 0; way < 6; ++way) {
          comes |= dot(axis_ways()[way], down) <= 0 && blocking.can_leave(way, i, placed, false);
        }
        const bool above_floor = placed.empty() || access.reach(i, down) <= access.floor_level(placed, down) + kTouch;
        if (!comes || !above_floor) std::fill(cost[d].begin(), cost[d].end(), never);
      }
      placed.insert(i);
      settle();
    }
    best = std::min(best, cost[5].back());
  } while (std::next_permutation(order.begin(), order.end()));
  return best == never ? -1 : best;
}

TEST(Turns, EqualBruteForce) {
  Random random(17);
  int answered = 0;
  for (int round = 0; round < 120; ++round) {
    Assembly a;
    const int n = 3 + random.below(2);
    for (int i = 0; i < n; ++i) {
      const double x = 40 * random.below(5), y = 40 * random.below(5), z = 40 * i;
      a.pieces.push_back(piece("p" + std::to_string(i),
                               {box(x, y, z, x + 40 + 40 * random.below(4), y + 40 + 40 * random.below(4), z + 40)}));
    }
    for (int f = 0; f < 2; ++f) {
      const int i = random.below(n - 1);
      const Box b = a.pieces[i].parts[0].box;
      const bool up = random.below(2);
      const Vec3 head{(b.min.x + b.max.x) / 2, (b.min.y + b.max.y) / 2, up ? b.max.z : b.min.z};
      a.fasteners.push_back(screw("s" + std::to_string(f), {i, i + 1}, head, {0, 0, up ? 1.0 : -1.0}, 15, 60));
    }
    std::optional<Vec3> from;
    if (random.below(2)) from = axis_ways()[random.below(6)];
    const int expected = by_brute_force(a, from);
    ASSERT_EQ(turns(a, from), expected) << round;
    answered += expected > 0;
  }
  EXPECT_GT(answered, 20);
}

TEST(Access, SaysWhatIsInTheWay) {
  Assembly a = hatch();
  a.site.ground = true;
  a.site.obstacles = {box(200, 0, 200, 400, 150, 220)};
  const Access access(a);
  PieceSet all = PieceSet::all(3), two(3);
  two.insert(0);
  two.insert(2);
  EXPECT_EQ(access.fit(0, two, {0, 0, -1}, true), Fit::piece_missing);
  EXPECT_EQ(access.fit(0, all, {0, 0, -1}, true), Fit::site_in_way);
  EXPECT_EQ(access.fit(0, all, {0, 0, -1}, false), Fit::fits);
  EXPECT_EQ(access.fit(0, all, {0, 0, 1}, false), Fit::below_floor);
  a.fasteners = {screw("over the cleat", {0, 1}, {300, 320, 60}, {0, 0, 1})};
  EXPECT_EQ(Access(a).fit(0, all, {0, 0, -1}, true), Fit::piece_in_way);
}

}  // namespace
}  // namespace garthwright::assembly
