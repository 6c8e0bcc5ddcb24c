// SPDX-License-Identifier: Apache-2.0
#include "shed/shed.h"

#include <gmock/gmock.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cmath>
#include <csignal>
#include <filesystem>
#include <fstream>
#include <random>

namespace garthwright::shed {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

Item off_cut(const std::string& section, double length, int quantity = 1) {
  return {Kind::off_cut, section, length, quantity};
}
Item screws(int quantity) { return {Kind::fixing, "screw 5x80", 0, quantity}; }

/// A shed in a folder of its own, gone after the test.
class ShedTest : public testing::Test {
 protected:
  void SetUp() override {
    char name[] = "/tmp/shed-XXXXXX";
    folder_ = mkdtemp(name);
    path_ = folder_ + "/made/shed.db";
  }
  void TearDown() override { std::filesystem::remove_all(folder_); }

  Shed open() const { return *Shed::open(path_); }
  int count(const Item& like) const {
    const auto list = open().list();
    for (const Held& held : *list)
      if (held.item.kind == like.kind && held.item.name == like.name && held.item.length_mm == like.length_mm)
        return held.item.quantity;
    return 0;
  }

  /// Runs `work` in a process of its own; it is over, or killed by the caller.
  template <class Work>
  static pid_t in_a_process(Work work) {
    const pid_t child = fork();
    if (child == 0) {
      work();
      _exit(0);
    }
    return child;
  }
  static int wait_for(pid_t child) {
    int status = 0;
    waitpid(child, &status, 0);
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
  }

  std::string folder_, path_;
};

TEST_F(ShedTest, KeepsWhatIsAddedAndAddsLikeToLike) {
  ASSERT_TRUE(open().add({off_cut("4x4", 1200), off_cut("4x4", 1200), off_cut("4x2", 800.5), screws(40)}));
  const auto list = *open().list();
  ASSERT_EQ(list.size(), 3u);
  EXPECT_EQ(list[0].item, off_cut("4x2", 800.5));
  EXPECT_EQ(list[1].item, off_cut("4x4", 1200, 2));
  EXPECT_EQ(list[2].item, screws(40));
}

TEST_F(ShedTest, WhatOneJobReservesNoOtherMayPlanWith) {
  Shed shed = open();
  ASSERT_TRUE(shed.add({off_cut("4x4", 1200, 2)}));
  ASSERT_TRUE(shed.reserve("arbor", {off_cut("4x4", 1200)}));
  EXPECT_THAT(*shed.free_for("fence"), ElementsAre(off_cut("4x4", 1200)));
  EXPECT_THAT(*shed.free_for("arbor"), ElementsAre(off_cut("4x4", 1200, 2)));
  const auto too_many = shed.reserve("fence", {off_cut("4x4", 1200, 2)});
  ASSERT_FALSE(too_many);
  EXPECT_EQ(too_many.error().front().what, "2 × 4x4 of 1200 mm is wanted, and 1 lie free in the shed");
  ASSERT_FALSE(shed.take({off_cut("4x4", 1200, 2)}));
}

TEST_F(ShedTest, PlanningAgainReplacesTheReservationAndAFailedOneLeavesIt) {
  Shed shed = open();
  ASSERT_TRUE(shed.add({off_cut("4x4", 1200, 2), off_cut("4x2", 900)}));
  ASSERT_TRUE(shed.reserve("arbor", {off_cut("4x4", 1200, 2)}));
  ASSERT_TRUE(shed.reserve("arbor", {off_cut("4x2", 900)}));
  EXPECT_THAT(*shed.free_for("fence"), ElementsAre(off_cut("4x4", 1200, 2)));
  ASSERT_FALSE(shed.reserve("arbor", {off_cut("4x2", 900, 5)}));
  EXPECT_EQ(shed.take_reserved("arbor", {off_cut("4x4", 1200, 2)}).error().front().what,
            "what is reserved for 'arbor' is not what this plan uses");
  EXPECT_TRUE(shed.take_reserved("arbor", {off_cut("4x2", 900)}));
  const auto again = shed.take_reserved("arbor", {off_cut("4x2", 900)});
  ASSERT_FALSE(again) << "nothing is taken twice";
  EXPECT_EQ(again.error().front().code, "not-reserved");
  EXPECT_EQ(count(off_cut("4x4", 1200)), 2);
  EXPECT_EQ(*shed.release("arbor"), 0);
}

TEST_F(ShedTest, APlansLeftOversGoInOnce) {
  Shed shed = open();
  ASSERT_TRUE(shed.restock("plan 1", {off_cut("4x4", 700)}));
  const auto again = shed.restock("plan 1", {off_cut("4x4", 700)});
  ASSERT_FALSE(again);
  EXPECT_EQ(again.error().front().code, "already-there");
  EXPECT_EQ(count(off_cut("4x4", 700)), 1);
}

TEST_F(ShedTest, RefusesWhatIsNoThingAndAFileThatIsNoShed) {
  Shed shed = open();
  EXPECT_FALSE(shed.add({off_cut("4x4", -5)}));
  EXPECT_FALSE(shed.add({off_cut("4x4", std::nan(""))}));
  EXPECT_FALSE(shed.add({off_cut("", 500)}));
  EXPECT_FALSE(shed.add({screws(0)}));
  EXPECT_FALSE(shed.add({off_cut("4x4", 500), screws(-1)}));
  EXPECT_THAT(*shed.list(), IsEmpty()) << "all or nothing";
  std::ofstream(folder_ + "/letter.txt") << std::string(5000, 'x');
  EXPECT_EQ(Shed::open(folder_ + "/letter.txt").error().front().what, "the file is no shed");
  EXPECT_EQ(Shed::open(folder_).error().front().code, "shed-failed");
}

TEST_F(ShedTest, TwoProcessesAtOnceNeverTakeOneThingTwice) {
  ASSERT_TRUE(open().add({off_cut("4x4", 1200, 60)}));
  const auto takes = [&](int most) {
    return in_a_process([&] {
      Shed shed = *Shed::open(path_);
      int got = 0;
      for (int i = 0; i < most; ++i) got += shed.take({off_cut("4x4", 1200)}).has_value() ? 1 : 0;
      _exit(got);
    });
  };
  const pid_t one = takes(40), other = takes(40);
  const int taken = wait_for(one) + wait_for(other);
  EXPECT_EQ(taken, 60);
  EXPECT_EQ(count(off_cut("4x4", 1200)), 0);
}

// A cut moves a thing from one pile to another as take + restock under one key would: here ten screws leave for every
// off-cut that comes, in one reservation and one taking. Whenever the worker dies, the sums must agree.
TEST_F(ShedTest, KilledInTheMiddleNothingIsLostAndNothingCountedTwice) {
  std::mt19937 random(11);
  ASSERT_TRUE(open().add({screws(100'000)}));
  for (int round = 0; round < 12; ++round) {
    const pid_t worker = in_a_process([&] {
      Shed shed = *Shed::open(path_);
      for (;;) {
        (void)shed.add({off_cut("4x4", 1200), off_cut("4x2", 1200)});
        (void)shed.reserve("arbor", {screws(10)});
        (void)shed.take({off_cut("4x4", 1200), off_cut("4x2", 1200)});
      }
    });
    usleep(static_cast<useconds_t>(std::uniform_int_distribution(1'000, 60'000)(random)));
    kill(worker, SIGKILL);
    wait_for(worker);
    // Both were added or neither, both taken or neither.
    EXPECT_EQ(count(off_cut("4x4", 1200)), count(off_cut("4x2", 1200)));
    EXPECT_EQ(count(screws(0)), 100'000);
    int reserved = 0;
    const auto list = open().list();
    for (const Held& held : *list)
      if (held.item.kind == Kind::fixing) reserved = held.reserved;
    EXPECT_TRUE(reserved == 0 || reserved == 10) << reserved;
  }
  // What the dead worker had reserved is released.
  (void)open().release("arbor");
  EXPECT_EQ(open().free_for("fence")->back().quantity, count(screws(0)));
}

}  // namespace
}  // namespace garthwright::shed
