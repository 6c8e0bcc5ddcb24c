// SPDX-License-Identifier: Apache-2.0
#include "base/patience.h"

#include <gtest/gtest.h>

#include <thread>

namespace garthwright {
namespace {

TEST(Patience, NobodyWaitingIsNoHurry) {
  EXPECT_NO_THROW(look_at_the_clock());
  EXPECT_FALSE(seconds_left());
}

TEST(Patience, EndsWhenTheTimeIsUpAndNotBefore) {
  const Waiting here({nullptr, Patience::in(3600)});
  EXPECT_NO_THROW(look_at_the_clock());
  EXPECT_GT(*seconds_left(), 3590);
  {
    const Waiting shorter({nullptr, Patience::in(-1)});
    EXPECT_EQ(*seconds_left(), 0);
    try {
      look_at_the_clock();
      FAIL() << "went on after the end";
    } catch (const OutOfPatience& out) {
      EXPECT_FALSE(out.cancelled());
    }
  }
  EXPECT_NO_THROW(look_at_the_clock());
}

TEST(Patience, TheOuterWaitCountsWithinAnInnerOne) {
  std::atomic<bool> cancel{false};
  const Waiting outer({&cancel, {}});
  const Waiting inner({nullptr, Patience::in(3600)});
  EXPECT_NO_THROW(look_at_the_clock());
  cancel = true;
  try {
    look_at_the_clock();
    FAIL() << "went on after it was told to stop";
  } catch (const OutOfPatience& out) {
    EXPECT_TRUE(out.cancelled());
  }
}

TEST(Patience, IsOfOneThread) {
  const Waiting here({nullptr, Patience::in(-1)});
  bool went_on = false;
  std::thread([&] {
    look_at_the_clock();
    went_on = true;
  }).join();
  EXPECT_TRUE(went_on);
}

}  // namespace
}  // namespace garthwright
