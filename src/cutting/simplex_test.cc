// SPDX-License-Identifier: Apache-2.0
#include "cutting/simplex.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>
#include <set>

namespace garthwright::cutting {
namespace {

constexpr double kPenalty = 100;
constexpr double kShift = 1e-4;  // what the shifts of all right-hand sides can do

// A covering programme with a row that limits the columns, kept beside the simplex so that an answer can be checked.
struct Programme {
  std::vector<std::vector<Entry>> columns;
  std::vector<double> cost;
  Simplex simplex;
};

Programme some_programme(int rows, int columns, std::mt19937& random) {
  Programme p;
  for (int i = 0; i < rows; ++i)
    p.simplex.add_row(Simplex::Sense::at_least, 1 + static_cast<double>(random() % 20), kPenalty);
  p.simplex.add_row(Simplex::Sense::at_most, 10 + static_cast<double>(random() % (10 * rows)), 0);
  for (int j = 0; j < columns; ++j) {
    std::vector<Entry> entries;
    for (int i = 0; i < rows; ++i)
      if (random() % rows < 3) entries.push_back({i, 1 + static_cast<double>(random() % 3)});
    if (random() % 2 == 0) entries.push_back({rows, 1});
    p.columns.push_back(entries);
    p.cost.push_back(1 + static_cast<double>(random() % 50) / 10);
    p.simplex.add_column(entries, p.cost.back());
  }
  return p;
}

// An optimum proves itself (Dantzig, 1963): quantities that meet the rows but for what is lacking, prices of the right
// sign by which no column is worth more than its cost, and the same value by both.
void expect_optimal(const Programme& p) {
  const Simplex& s = p.simplex;
  const std::vector<double> x = s.solution();
  std::vector<double> met(s.rows(), 0.0);
  double cost = kPenalty * s.lack();
  for (std::size_t j = 0; j < p.columns.size(); ++j) {
    EXPECT_GE(x[j], 0);
    cost += p.cost[j] * x[j];
    double worth = 0;
    for (const Entry& e : p.columns[j]) {
      met[e.row] += e.value * x[j];
      worth += e.value * s.price(e.row);
    }
    EXPECT_LE(worth, p.cost[j] + 1e-7);
  }
  const int limit = s.rows() - 1;
  EXPECT_LE(met[limit], s.rhs(limit) + kShift);
  EXPECT_LE(s.price(limit), 1e-9);
  double short_of = 0;
  for (int i = 0; i < limit; ++i) {
    short_of += std::max(0.0, s.rhs(i) - met[i]);
    EXPECT_GE(s.price(i), -1e-9);
    EXPECT_LE(s.price(i), kPenalty + 1e-7);
  }
  EXPECT_LE(short_of, s.lack() + kShift);
  EXPECT_NEAR(cost, s.value(), kShift * kPenalty);
}

TEST(Simplex, ProvesItsOptimum) {
  std::mt19937 random(3);
  for (const int rows : {1, 2, 6, 20, 60})
    for (int round = 0; round < 10; ++round) {
      Programme p = some_programme(rows, 4 * rows + 3, random);
      Work work(1'000'000'000, 0, nullptr);
      ASSERT_TRUE(p.simplex.primal(work));
      expect_optimal(p);

      // Other right-hand sides, from the prices at hand.
      for (int i = 0; i < rows; ++i) p.simplex.set_rhs(i, static_cast<double>(random() % 20));
      ASSERT_EQ(p.simplex.dual(work), Simplex::End::optimal);
      expect_optimal(p);
    }
}

TEST(Simplex, MendsWhatChangedDemandsBroke) {
  std::mt19937 random(11);
  for (const int rows : {1, 6, 20, 60})
    for (int round = 0; round < 10; ++round) {
      Programme p = some_programme(rows, 8 * rows + 3, random);
      Work work(1'000'000'000, 0, nullptr);
      ASSERT_TRUE(p.simplex.primal(work));
      for (int step = 0; step < 3; ++step) {
        for (int i = 0; i < rows; ++i) p.simplex.set_rhs(i, static_cast<double>(random() % 20));
        // To a value between the optimum and that of the start, and only then to the optimum.
        Programme q = p;
        ASSERT_TRUE(q.simplex.mend(work));
        expect_optimal(q);
        const double enough = 1.2 * q.simplex.value();
        ASSERT_TRUE(p.simplex.mend(work, enough));
        EXPECT_LE(p.simplex.value(), enough + 1e-6);
        EXPECT_GE(p.simplex.value(), q.simplex.value() - 1e-6);
      }
      ASSERT_TRUE(p.simplex.primal(work));
      expect_optimal(p);
    }
}

TEST(Simplex, StirsToOtherSolutionsOfTheSameValue) {
  // Four columns do the same: any share of them is best.
  Simplex simplex;
  for (int i = 0; i < 6; ++i) simplex.add_row(Simplex::Sense::at_least, 1, kPenalty);
  for (int i = 0; i < 6; ++i)
    for (int same = 0; same < 4; ++same) simplex.add_column({{i, 1}}, 1);
  Work work(1'000'000'000, 0, nullptr);
  ASSERT_TRUE(simplex.primal(work));
  const double value = simplex.value();
  std::set<std::vector<bool>> solutions;
  for (int round = 1; round <= 8; ++round) {
    ASSERT_TRUE(simplex.stir(round, work));
    EXPECT_NEAR(simplex.value(), value, 1e-4);
    std::vector<bool> used;
    for (double x : simplex.solution()) used.push_back(x > 0.5);
    solutions.insert(used);
  }
  EXPECT_GT(solutions.size(), 3U);
}

TEST(Simplex, ReachesTheSameValueFromAnyStart) {
  std::mt19937 random(5);
  for (int round = 0; round < 30; ++round) {
    Programme p = some_programme(15, 80, random);
    Programme q = p;
    Work work(1'000'000'000, 0, nullptr);
    ASSERT_TRUE(p.simplex.primal(work));
    q.simplex.sleep_from(20);
    q.simplex.begin_with(static_cast<int>(random() % 20), work);
    ASSERT_TRUE(q.simplex.primal(work));
    expect_optimal(q);
    EXPECT_NEAR(p.simplex.value(), q.simplex.value(), 1e-6);
  }
}

TEST(Simplex, ComesBackFromABranch) {
  std::mt19937 random(7);
  for (int round = 0; round < 30; ++round) {
    Programme p = some_programme(12, 60, random);
    Work work(1'000'000'000, 0, nullptr);
    ASSERT_TRUE(p.simplex.primal(work));
    const double before = p.simplex.value();
    const Simplex::Mark mark = p.simplex.mark();
    const std::vector<double> x = p.simplex.solution();
    int used = 0;
    while (x[used] < 1e-3) ++used;
    p.simplex.add_branch(Simplex::Sense::at_most, 0, {used}, 0);
    ASSERT_EQ(p.simplex.dual(work), Simplex::End::optimal);
    EXPECT_LT(p.simplex.solution()[used], 1e-5);
    EXPECT_GE(p.simplex.value(), before - 1e-6);
    p.simplex.restore(mark);
    ASSERT_TRUE(p.simplex.primal(work));
    EXPECT_NEAR(p.simplex.value(), before, 1e-6);
    expect_optimal(p);
  }
}

}  // namespace
}  // namespace garthwright::cutting
