// SPDX-License-Identifier: Apache-2.0
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <random>

#include "cutting/cutting.h"

namespace garthwright::cutting {
namespace {

using testing::IsEmpty;

// Invented lengths and prices, seven in a hundred around proportional: such jobs are bettered several times.
Problem some_job(unsigned seed) {
  std::mt19937 random(seed);
  const auto between = [&](int low, int high) { return low + static_cast<int>(random() % (high - low + 1)); };
  Problem job;
  job.kerf = 3;
  job.trim = 10;
  for (int length = 2400; length <= 5400; length += 600)
    job.stock.push_back({.length = length, .cost = length * between(93, 107) / 300});
  for (int n = 0; n < 12; ++n) job.pieces.push_back({.length = between(200, 2300), .quantity = between(2, 7)});
  return job;
}

struct Step {
  std::int64_t cost, bound;
  bool operator==(const Step&) const = default;
};

std::vector<Step> steps_of(const Problem& job, Options options = {}) {
  std::vector<Step> steps;
  options.on_progress = [&](const Progress& now) { steps.push_back({now.cost, now.lower_bound}); };
  solve(job, options);
  return steps;
}

TEST(Progress, OnlyGetsBetterAndEndsAtTheAnswer) {
  std::size_t most = 0;
  for (unsigned seed = 1; seed <= 20; ++seed) {
    const Problem job = some_job(seed);
    const Result answer = solve(job);
    const std::vector<Step> steps = steps_of(job);
    ASSERT_FALSE(steps.empty());
    most = std::max(most, steps.size());
    for (std::size_t k = 1; k < steps.size(); ++k) {
      EXPECT_LE(steps[k].cost, steps[k - 1].cost);
      EXPECT_GE(steps[k].bound, steps[k - 1].bound);
      EXPECT_FALSE(steps[k] == steps[k - 1]) << "said twice";
    }
    for (const Step& step : steps) {
      EXPECT_GE(step.cost, answer.cost);
      EXPECT_LE(step.bound, answer.cost);
    }
    EXPECT_EQ(steps.back().cost, answer.cost);
  }
  EXPECT_GT(most, 3U);  // or the jobs show nothing
}

TEST(Progress, IsTheSameEveryTime) {
  for (unsigned seed = 1; seed <= 5; ++seed) EXPECT_EQ(steps_of(some_job(seed)), steps_of(some_job(seed)));
}

TEST(Progress, EndsWithTheBestSoFarWhenCancelled) {
  for (unsigned seed = 1; seed <= 20; ++seed) {
    const Problem job = some_job(seed);
    std::atomic<bool> cancel{false};
    std::int64_t said = 0;
    Options options;
    options.cancel = &cancel;
    options.on_progress = [&](const Progress& now) {
      said = now.cost;
      cancel = true;
    };
    const Result answer = solve(job, options);
    ASSERT_EQ(answer.verdict, Verdict::solved);
    EXPECT_THAT(faults(job, answer), IsEmpty());
    EXPECT_LE(answer.cost, said);
    if (!answer.optimal) {
      EXPECT_EQ(answer.stop, Stop::cancelled);
    }
  }
}

TEST(Progress, IsCutOffByWorkAtTheSamePlace) {
  const Problem job = some_job(3);
  std::int64_t cost = std::numeric_limits<std::int64_t>::max();
  for (const std::int64_t work : {10'000, 100'000, 1'000'000, 100'000'000}) {
    Options options;
    options.work_limit = work;
    const Result first = solve(job, options), second = solve(job, options);
    EXPECT_EQ(first.layouts, second.layouts);
    EXPECT_EQ(first.lower_bound, second.lower_bound);
    EXPECT_EQ(first.work, second.work);
    EXPECT_THAT(faults(job, first), IsEmpty());
    EXPECT_LE(first.cost, cost);
    EXPECT_LE(first.lower_bound, first.cost);
    cost = first.cost;
  }
}

}  // namespace
}  // namespace garthwright::cutting
