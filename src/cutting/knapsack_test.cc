// SPDX-License-Identifier: Apache-2.0
#include "cutting/knapsack.h"

#include <gtest/gtest.h>

#include <random>

#include "cutting/knapsack_table.h"

namespace garthwright::cutting {
namespace {

// The textbook recurrence, one copy at a time.
std::int64_t textbook(const std::vector<Choice>& choices, std::int64_t capacity) {
  std::vector<std::int64_t> best(capacity + 1, 0);
  for (const Choice& c : choices)
    for (std::int64_t copy = 0; copy < c.most; ++copy)
      for (std::int64_t room = capacity; room >= c.weight; --room)
        best[room] = std::max(best[room], best[room - c.weight] + c.value);
  return best[capacity];
}

struct Sums {
  std::int64_t value = 0, weight = 0;
};

Sums sums(const std::vector<Choice>& choices, const std::vector<ItemCount>& items) {
  Sums s;
  for (const ItemCount& part : items) {
    s.value += part.count * choices[part.item].value;
    s.weight += part.count * choices[part.item].weight;
  }
  return s;
}

TEST(Knapsack, SearchAndTableAgreeWithTheTextbook) {
  std::mt19937_64 random(1);
  const auto whole = [&](int low, int high) { return low + static_cast<int>(random() % (high - low + 1)); };
  for (int trial = 0; trial < 3000; ++trial) {
    std::vector<Choice> choices;
    for (int j = whole(1, 8); j > 0; --j)
      choices.push_back({whole(1, 30), whole(0, 50), whole(0, 4), static_cast<int>(choices.size())});
    const std::int64_t capacity = whole(1, 80), truth = textbook(choices, capacity);
    Work work(1'000'000'000, 0, nullptr);
    const Knapsack::Answer answer = Knapsack(choices).best(capacity, 0, 1'000'000, work);
    KnapsackTable table;
    table.build(choices, capacity, work);
    EXPECT_TRUE(answer.exact);
    EXPECT_EQ(answer.value, truth);
    EXPECT_EQ(sums(choices, answer.items).value, truth);
    EXPECT_LE(sums(choices, answer.items).weight, capacity);
    EXPECT_EQ(table.value(capacity), truth);
    EXPECT_EQ(sums(choices, table.filling(capacity)).value, truth);
    EXPECT_LE(sums(choices, table.filling(capacity)).weight, capacity);
  }
}

TEST(Knapsack, GivesABoundWhenItGivesUp) {
  std::vector<Choice> choices;
  for (int j = 0; j < 40; ++j) choices.push_back({1001 + 2 * j, 1000 + 2 * j, 1, j});
  Work work(1'000'000'000, 0, nullptr);
  const Knapsack::Answer answer = Knapsack(choices).best(10'000, 0, 50, work);
  EXPECT_FALSE(answer.exact);
  EXPECT_GE(answer.upper, textbook(choices, 10'000));
  EXPECT_LE(answer.value, textbook(choices, 10'000));
}

}  // namespace
}  // namespace garthwright::cutting
