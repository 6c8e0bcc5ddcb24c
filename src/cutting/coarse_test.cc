// SPDX-License-Identifier: Apache-2.0
#include "cutting/coarse.h"

#include <gtest/gtest.h>

#include <random>

namespace garthwright::cutting {
namespace {

/// Whether each pattern within the demands fits each bar, all patterns in one order.
std::vector<char> what_fits(const Model& model) {
  std::vector<char> fits;
  std::vector<std::int64_t> count(model.items.size(), 0);
  for (;;) {
    for (const Bar& bar : model.bars) {
      std::int64_t sum = 0;
      bool taken = true;
      for (std::size_t j = 0; j < count.size(); ++j) {
        sum += count[j] * model.items[j].length;
        taken = taken && (count[j] == 0 || model.families[bar.family].takes[j]);
      }
      fits.push_back(taken && sum <= bar.length);
    }
    std::size_t j = 0;
    while (j < count.size() && ++count[j] > model.demand[model.items[j].row]) count[j++] = 0;
    if (j == count.size()) return fits;
  }
}

Model micrometre_model(std::mt19937_64& random) {
  const auto whole = [&](std::int64_t low, std::int64_t high) {
    return low + static_cast<std::int64_t>(random() % static_cast<std::uint64_t>(high - low + 1));
  };
  Model model;
  for (std::int64_t j = whole(1, 5); j > 0; --j) {
    model.items.push_back({whole(300'000, 2'500'000), model.rows(), 1});
    model.demand.push_back(whole(1, 4));
  }
  std::sort(model.items.begin(), model.items.end(), [](const Item& a, const Item& b) { return a.length > b.length; });
  model.families = {{std::vector<char>(model.items.size(), 1)}, {std::vector<char>(model.items.size(), 1)}};
  model.families[1].takes[0] = 0;
  for (std::int64_t k = whole(1, 6); k > 0; --k)
    model.bars.push_back({whole(8, 20) * 300'000 - 10'000, 100, 9, false, static_cast<int>(whole(0, 1)), 0});
  return model;
}

TEST(Coarse, LetsTheSamePatternsFit) {
  std::mt19937_64 random(1);
  int coarser = 0;
  for (int trial = 0; trial < 400; ++trial) {
    const Model model = micrometre_model(random);
    Model coarse = model;
    if (coarsen(coarse)) {
      ++coarser;
      EXPECT_LE(coarse.bars.front().length, 70'000);
    }
    ASSERT_EQ(what_fits(coarse), what_fits(model)) << "trial " << trial;
  }
  EXPECT_GT(coarser, 350);
}

/// One micrometre decides: 3 × 1 333 333 fits into 4 m and 3 × 1 333 334 does not.
TEST(Coarse, KeepsApartWhatOneMicrometreParts) {
  Model model;
  model.demand = {3, 3};
  model.items = {{1'333'334, 0, 1}, {1'333'333, 1, 1}};
  model.families = {{{1, 1}}};
  model.bars = {{4'000'000, 100, 9, false, 0, 0}};
  Model coarse = model;
  coarsen(coarse);
  EXPECT_EQ(what_fits(coarse), what_fits(model));
}

TEST(Coarse, LeavesSmallNumbersAlone) {
  Model model;
  model.demand = {4};
  model.items = {{1200, 0, 1}};
  model.families = {{{1}}};
  model.bars = {{2793, 100, 9, false, 0, 0}};
  EXPECT_FALSE(coarsen(model));
  EXPECT_EQ(model.bars.front().length, 2793);
}

}  // namespace
}  // namespace garthwright::cutting
