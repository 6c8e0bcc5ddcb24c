// SPDX-License-Identifier: Apache-2.0
#include "cutting/full_patterns.h"

#include <gtest/gtest.h>

#include <set>
#include <variant>

#include "cutting/reduction.h"

namespace garthwright::cutting {
namespace {

TEST(FullPatterns, WasteNoMoreThanAllowedAndAreOfManyKinds) {
  Problem problem;
  problem.stock = {{.length = 4800, .cost = 1}};
  for (std::int64_t length = 310; length < 2400; length += 70)
    problem.pieces.push_back({.length = length, .quantity = 3});
  const auto reduced = reduce(problem);
  ASSERT_TRUE(std::holds_alternative<Reduction>(reduced));
  const Model& model = std::get<Reduction>(reduced).model;
  Pricer pricer(model);
  Work work(1'000'000'000, 0, nullptr);
  for (const std::int64_t waste : {0, 40}) {
    const std::vector<Pattern> full = full_patterns(model, waste, 4, pricer, work);
    for (const Pattern& pattern : full) {
      std::int64_t length = 0;
      for (const ItemCount& part : pattern.items) {
        length += model.items[part.item].length * part.count;
        EXPECT_LE(part.count, model.demand[model.items[part.item].row]);
      }
      EXPECT_LE(length, model.bars[0].length);
      EXPECT_GE(length, model.bars[0].length - waste);
    }
    EXPECT_GT(std::set<Pattern>(full.begin(), full.end()).size(), 20U);
    EXPECT_EQ(full_patterns(model, waste, 4, pricer, work), full);
  }
}

}  // namespace
}  // namespace garthwright::cutting
