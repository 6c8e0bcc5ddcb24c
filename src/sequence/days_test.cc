// SPDX-License-Identifier: Apache-2.0
#include "sequence/days.h"

#include <gtest/gtest.h>

namespace garthwright::sequence {
namespace {

Stage stage(int number, double hours, double wait_h = 0, int people = 1) {
  Stage s;
  s.number = number;
  s.minutes = 60 * hours;
  s.wait_h = wait_h;
  s.people = people;
  return s;
}

// 5 h and 4 h in days of seven: two hours of the second go to the first day, two are left for the next.
TEST(Days, AStageThatIsNotDoneGoesOnTheNextDay) {
  const std::vector<Day> days = by_days({stage(1, 5), stage(2, 4, 0, 2)});
  ASSERT_EQ(days.size(), 2u);
  EXPECT_EQ(days[0].stages, (std::vector<int>{1, 2}));
  EXPECT_DOUBLE_EQ(days[0].hours, 7);
  EXPECT_EQ(days[0].people, 2);
  EXPECT_EQ(days[1].stages, (std::vector<int>{2}));
  EXPECT_DOUBLE_EQ(days[1].hours, 2);
}

// Concrete that is poured at noon bears at noon of the next day; what sets over a night is ready in the morning.
TEST(Days, WhatSetsIsLeftAlone) {
  const std::vector<Day> days = by_days({stage(1, 3, 24), stage(2, 2, 12), stage(3, 1)});
  ASSERT_EQ(days.size(), 3u);
  EXPECT_EQ(days[0].wait_h, 24);
  EXPECT_EQ(days[1].number, 2);
  EXPECT_EQ(days[1].stages, (std::vector<int>{2}));
  EXPECT_EQ(days[2].number, 3);
  EXPECT_DOUBLE_EQ(days[2].hours, 1);
}

TEST(Days, TwoDaysOfSettingSkipADay) {
  const std::vector<Day> days = by_days({stage(1, 6, 48), stage(2, 1)});
  ASSERT_EQ(days.size(), 2u);
  EXPECT_EQ(days[1].number, 3);
  EXPECT_TRUE(by_days({}).empty());
}

}  // namespace
}  // namespace garthwright::sequence
