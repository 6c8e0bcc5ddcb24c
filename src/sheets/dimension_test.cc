// SPDX-License-Identifier: Apache-2.0
#include "sheets/dimension.h"

#include <gtest/gtest.h>

#include <random>

#include "sheets/inspect.h"

namespace garthwright::sheets {
namespace {

// Laws of spreading on random rows: order kept, no two closer than the gap, inside the limits when there is room.
TEST(Spread, KeepsOrderGapAndLimits) {
  std::mt19937 random(7);
  for (int round = 0; round < 500; ++round) {
    std::vector<double> centres, widths;
    double total = 0;
    const int count = 1 + static_cast<int>(random() % 12);
    for (int i = 0; i < count; ++i) {
      centres.push_back(static_cast<double>(random() % 2000) / 10);
      widths.push_back(1 + static_cast<double>(random() % 100) / 10);
      total += widths.back() + 1.5;
    }
    if (total > 200) continue;
    std::sort(centres.begin(), centres.end());
    const auto places = spread(centres, widths, 1.5, 0, 200);
    ASSERT_EQ(places.size(), centres.size());
    for (std::size_t i = 0; i < places.size(); ++i) {
      EXPECT_GE(places[i] - widths[i] / 2, -1e-9);
      EXPECT_LE(places[i] + widths[i] / 2, 200 + 1e-9);
      if (i > 0) {
        EXPECT_GE(places[i] - widths[i] / 2 - (places[i - 1] + widths[i - 1] / 2), 1.5 - 1e-9);
      }
    }
  }
}

TEST(Spread, LeavesAloneWhatIsClear) {
  EXPECT_EQ(spread({10, 50, 90}, {8, 8, 8}, 1.5, 0, 100), (std::vector<double>{10, 50, 90}));
  EXPECT_EQ(spread({50, 50}, {8, 8}, 2, 0, 100), (std::vector<double>{45, 55})) << "both give way alike";
}

// Random chains on all four sides, in two tiers: every number is printed once, and none touches another or a line.
TEST(Dimension, NumbersAreClearOfEachOtherAndOfLines) {
  std::mt19937 random(11);
  for (int round = 0; round < 200; ++round) {
    Sheet sheet{"", "random", "", 400, 400, {}};
    const Rect picture{120, 120, 280, 280};
    std::size_t expected = 0;
    for (const Side side : {Side::below, Side::right, Side::above, Side::left}) {
      Chain chain{{120, 280}, {}, {}};
      const int inner = static_cast<int>(random() % 7);
      for (int i = 0; i < inner; ++i) chain.at.push_back(121 + static_cast<double>(random() % 1580) / 10);
      std::sort(chain.at.begin(), chain.at.end());
      for (std::size_t i = 0; i + 1 < chain.at.size(); ++i) chain.words.push_back(std::to_string(random() % 3000));
      expected += chain.words.size() + 1;
      dimension(sheet.items, picture, {side, {chain, {{120, 280}, {"2750"}, {}}}}, 116, 284);
    }
    EXPECT_EQ(all_text(sheet).size(), expected);
    EXPECT_EQ(faults(sheet), std::vector<std::string>{}) << "round " << round;
    EXPECT_EQ(crossed_text(sheet), std::vector<std::string>{}) << "round " << round;
  }
}

}  // namespace
}  // namespace garthwright::sheets
