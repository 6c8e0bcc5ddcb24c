// SPDX-License-Identifier: Apache-2.0
#include "base/patience.h"

#include <gtest/gtest.h>

#include <stdexcept>
#include <thread>

#include "base/two_threads.h"

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

TEST(TwoThreads, DoEachOnceAndAreAsPatientAsTheCaller) {
  std::vector<int> done(100, 0);
  on_two_threads(done.size(), [&](std::size_t i) { ++done[i]; });
  EXPECT_EQ(done, std::vector<int>(100, 1));

  const Waiting here({nullptr, Patience::in(-1)});
  std::atomic<int> looked{0};
  EXPECT_THROW(on_two_threads(100,
                              [&](std::size_t) {
                                ++looked;
                                look_at_the_clock();
                              }),
               OutOfPatience);
  EXPECT_LE(looked, 2);  // what one throws ends those that have not begun
}

TEST(TwoThreads, HandOnWhatEitherThrows) {
  for (const std::size_t bad : {0, 1, 7})
    EXPECT_THROW(on_two_threads(8,
                                [&](std::size_t i) {
                                  if (i == bad) throw std::runtime_error("no");
                                }),
                 std::runtime_error);
}

}  // namespace
}  // namespace garthwright
