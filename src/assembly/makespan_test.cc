// SPDX-License-Identifier: Apache-2.0
#include "assembly/makespan.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <numeric>

#include "assembly/test_shapes.h"

namespace garthwright::assembly {
namespace {

using testing::Random;

TEST(Makespan, ConcreteSetsWhileTheLeafIsMade) {
  const std::vector<Task> gate{
      {"dig", 2, 1, {}}, {"set", 1, 2, {{0, 0}}}, {"leaf", 3, 1, {}}, {"hang", 1, 2, {{1, 24}, {2, 0}}}};
  EXPECT_DOUBLE_EQ(*least_makespan(gate, 2).hours, 28);
  EXPECT_FALSE(least_makespan(gate, 1).hours) << "two hands are needed to set the post";
}

TEST(Makespan, SometimesItPaysToWait) {
  // One worker could begin the long job at once; then the pair's job and its long wait come late.
  const std::vector<Task> tasks{
      {"long", 5, 1, {}}, {"fetch", 1, 1, {}}, {"pair", 1, 2, {{1, 0}}}, {"end", 1, 1, {{2, 8}}}};
  EXPECT_DOUBLE_EQ(*least_makespan(tasks, 2).hours, 11);
}

TEST(Makespan, NothingToDoTakesNoTime) { EXPECT_EQ(*least_makespan({}, 1).hours, 0); }

TEST(Makespan, ARingIsFound) {
  const std::vector<Task> tasks{{"a", 1, 1, {}}, {"b", 1, 1, {{2, 0}}}, {"c", 1, 1, {{1, 0}}}};
  const auto in_ring = task_in_a_ring(tasks);
  ASSERT_TRUE(in_ring);
  EXPECT_NE(*in_ring, 0);
}

/// Every order that respects the waits, each task as early as the ones before it in the order allow, hour by hour.
int by_brute_force(const std::vector<Task>& tasks, int workers) {
  const int n = static_cast<int>(tasks.size());
  std::vector<int> order(n);
  std::iota(order.begin(), order.end(), 0);
  int best = 1 << 20;
  do {
    std::vector<int> start(n, -1), busy(200, 0);
    bool legal = true;
    int end_of_all = 0;
    for (int i : order) {
      int at = 0;
      for (const Task::After& a : tasks[i].after) {
        if (start[a.task] < 0) legal = false;
        at = std::max(at, start[a.task] + static_cast<int>(tasks[a.task].hours + a.lag_hours));
      }
      if (!legal) break;
      const int h = static_cast<int>(tasks[i].hours);
      const auto fits = [&](int t) {
        return std::all_of(busy.begin() + t, busy.begin() + t + h,
                           [&](int b) { return b + tasks[i].hands <= workers; });
      };
      while (!fits(at)) ++at;
      start[i] = at;
      for (int t = at; t < at + h; ++t) busy[t] += tasks[i].hands;
      end_of_all = std::max(end_of_all, at + h);
    }
    if (legal) best = std::min(best, end_of_all);
  } while (std::next_permutation(order.begin(), order.end()));
  return best;
}

void expect_legal(const std::vector<Task>& tasks, int workers, const Makespan& m) {
  double end = 0;
  for (std::size_t i = 0; i < tasks.size(); ++i) {
    end = std::max(end, m.starts[i] + tasks[i].hours);
    for (const Task::After& a : tasks[i].after) {
      EXPECT_GE(m.starts[i] + 1e-9, m.starts[a.task] + tasks[a.task].hours + a.lag_hours);
    }
    int busy = 0;
    for (std::size_t j = 0; j < tasks.size(); ++j) {
      if (m.starts[j] <= m.starts[i] + 1e-9 && m.starts[i] < m.starts[j] + tasks[j].hours - 1e-9)
        busy += tasks[j].hands;
    }
    EXPECT_LE(busy, workers);
  }
  EXPECT_NEAR(end, *m.hours, 1e-9);
}

TEST(Makespan, EqualsBruteForce) {
  Random random(13);
  for (int round = 0; round < 150; ++round) {
    const int workers = 1 + random.below(3);
    std::vector<Task> tasks;
    for (int i = 0; i < 3 + random.below(4); ++i) {
      Task t{"t" + std::to_string(i), static_cast<double>(1 + random.below(6)), 1 + random.below(workers), {}};
      for (int j = 0; j < i; ++j) {
        if (random.below(3) == 0) t.after.push_back({j, static_cast<double>(random.below(3) ? 0 : random.below(9))});
      }
      tasks.push_back(t);
    }
    const Makespan m = least_makespan(tasks, workers);
    ASSERT_TRUE(m.proved);
    ASSERT_DOUBLE_EQ(*m.hours, by_brute_force(tasks, workers)) << round;
    expect_legal(tasks, workers, m);
  }
}

TEST(Makespan, TwentyTasksOfUnevenLength) {
  Random random(14);
  std::vector<Task> tasks;
  for (int i = 0; i < 20; ++i) {
    Task t{"t" + std::to_string(i), 0.25 * (1 + random.below(20)), 1 + random.below(2), {}};
    for (int j = std::max(0, i - 5); j < i; ++j) {
      if (random.below(4) == 0) t.after.push_back({j, random.below(4) ? 0.0 : 12.0});
    }
    tasks.push_back(t);
  }
  const Makespan m = least_makespan(tasks, 2);
  EXPECT_TRUE(m.proved);
  expect_legal(tasks, 2, m);
}

}  // namespace
}  // namespace garthwright::assembly
