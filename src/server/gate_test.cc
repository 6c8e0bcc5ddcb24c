// SPDX-License-Identifier: Apache-2.0
#include "server/gate.h"

#include <gtest/gtest.h>
#include <sys/socket.h>
#include <unistd.h>

#include <vector>

namespace garthwright::server {
namespace {

using std::chrono::milliseconds;
using std::chrono::steady_clock;

bool becomes_true(const std::atomic<bool>& flag) {
  const auto until = steady_clock::now() + milliseconds(5000);
  while (!flag && steady_clock::now() < until) std::this_thread::sleep_for(milliseconds(2));
  return flag;
}

TEST(Gate, LetsSoManyInAndTurnsAwayWhoFindsTheQueueFull) {
  Gate gate(1, 1);
  const std::atomic<bool> never{false};
  ASSERT_TRUE(gate.enter(never));
  std::atomic<bool> second_is_in{false};
  std::thread second([&] {
    EXPECT_TRUE(gate.enter(never));
    second_is_in = true;
  });
  while (gate.busy() < 2) std::this_thread::sleep_for(milliseconds(1));
  EXPECT_FALSE(gate.enter(never));  // one inside, one waits: no more
  EXPECT_FALSE(second_is_in);
  gate.leave();
  EXPECT_TRUE(becomes_true(second_is_in));
  second.join();
  gate.leave();
  EXPECT_EQ(0, gate.busy());
}

TEST(Gate, WhoIsCancelledWhileWaitingLeavesTheQueue) {
  Gate gate(1, 4);
  const std::atomic<bool> never{false};
  std::atomic<bool> cancel{false};
  ASSERT_TRUE(gate.enter(never));
  std::thread waiting([&] { EXPECT_FALSE(gate.enter(cancel)); });
  while (gate.busy() < 2) std::this_thread::sleep_for(milliseconds(1));
  cancel = true;
  waiting.join();
  EXPECT_EQ(1, gate.busy());
  gate.leave();
}

TEST(Gate, ManyGoThroughAndNeverMoreAtOnceThanAllowed) {
  Gate gate(3, 1000);
  const std::atomic<bool> never{false};
  std::atomic<int> inside{0}, most{0}, through{0};
  std::vector<std::thread> threads;
  for (int t = 0; t < 12; ++t)
    threads.emplace_back([&] {
      for (int i = 0; i < 50; ++i) {
        ASSERT_TRUE(gate.enter(never));
        const int now = ++inside;
        for (int seen = most; now > seen && !most.compare_exchange_weak(seen, now);) continue;
        std::this_thread::yield();
        --inside;
        ++through;
        gate.leave();
      }
    });
  for (std::thread& thread : threads) thread.join();
  EXPECT_EQ(600, through);
  EXPECT_LE(most, 3);
}

TEST(Watch, SeesThatAClientHasLeftAndThatTimeIsUp) {
  int ends[2];
  ASSERT_EQ(0, ::socketpair(AF_UNIX, SOCK_STREAM, 0, ends));
  Watch watch;
  Watched left, late, fine;
  left.socket = ends[0];
  fine.socket = -1;
  left.until = fine.until = steady_clock::now() + std::chrono::hours(1);
  late.until = steady_clock::now() + milliseconds(30);
  for (Watched* one : {&left, &late, &fine}) watch.begin(*one);
  EXPECT_TRUE(becomes_true(late.cancel));
  EXPECT_EQ(Halt::too_long, late.halt);
  EXPECT_FALSE(left.cancel);
  ASSERT_EQ(1, ::write(ends[1], "x", 1));  // a next request that waits is no farewell
  std::this_thread::sleep_for(milliseconds(60));
  EXPECT_FALSE(left.cancel);
  char byte = 0;
  ASSERT_EQ(1, ::read(ends[0], &byte, 1));
  ::close(ends[1]);
  EXPECT_TRUE(becomes_true(left.cancel));
  EXPECT_EQ(Halt::client_left, left.halt);
  EXPECT_FALSE(fine.cancel);
  watch.stop_all();
  EXPECT_EQ(Halt::stopping, fine.halt);
  Watched after;
  after.until = fine.until;
  watch.begin(after);
  EXPECT_TRUE(after.cancel);
  for (Watched* one : {&left, &late, &fine, &after}) watch.end(*one);
  ::close(ends[0]);
}

}  // namespace
}  // namespace garthwright::server
