// SPDX-License-Identifier: Apache-2.0
#include "plan/left_out.h"

#include <gtest/gtest.h>

#include "base/patience.h"
#include "base/source_dir_for_tests.h"
#include "plan/plan.h"

namespace garthwright {
namespace {

const std::string kSource = source_dir();

Result<Plan> arbor(const PlanOptions& options) {
  const pattern::Shelves shelves{{kSource + "/patterns"}, {kSource + "/catalogues"}};
  const Result<pattern::Job> job = pattern::parse_job(
      "format = 1\n[timber]\ncatalogue = \"harrow-lane\"\n[[structure]]\nname = \"arbor\"\npattern = \"arbor\"\n"
      "[structure.choices]\nopening = 1350\n",
      "job.toml", shelves);
  if (!job) return tl::make_unexpected(job.error());
  return make_plan(*job, shelves, options);
}

TEST(LeftOut, WorkIsDoneWhereNobodyIsInAHurry) {
  std::vector<Study> left_out;
  Diagnostics found;
  bool done = false;
  EXPECT_TRUE(in_time(
      Study::order, {}, 1, [&] { done = true; }, left_out, found));
  EXPECT_TRUE(done && left_out.empty() && found.empty());
}

TEST(LeftOut, WhatIsNotReadyInTimeIsNamedWithHowMuchThereWas) {
  Structure three;
  three.pieces.resize(3);
  three.joints.resize(2);
  std::vector<Study> left_out;
  Diagnostics found;
  const Waiting hurry({nullptr, Patience::in(3600)});
  // A share of nothing is over at once; the hour around it is not.
  EXPECT_FALSE(in_time(
      Study::checks, {{three}}, 0, [] { look_at_the_clock(); }, left_out, found));
  EXPECT_EQ(left_out, std::vector<Study>{Study::checks});
  ASSERT_EQ(found.size(), 1u);
  EXPECT_EQ(
      to_string(found.front()),
      "warning: the checks of strength and ground were not worked out in the time there was: 3 pieces in 2 joints "
      "were too much; allow more time, part the job into several, or choose fewer pieces [not-in-time]");
  EXPECT_NO_THROW(look_at_the_clock());
}

TEST(LeftOut, NobodyWaitingIsNotLeftOutButStopped) {
  const std::atomic<bool> cancel{true};
  const Waiting told({&cancel, {}});
  std::vector<Study> left_out;
  Diagnostics found;
  EXPECT_THROW(in_time(
                   Study::order, {}, 1, [] {}, left_out, found),
               OutOfPatience);
  EXPECT_TRUE(left_out.empty() && found.empty());
}

TEST(LeftOut, APlanWithoutItsChecksSaysThatNothingWasChecked) {
  PlanOptions unchecked;
  unchecked.checks = false;
  const Result<Plan> plan = arbor(unchecked);
  ASSERT_TRUE(plan);
  EXPECT_EQ(plan->left_out, (std::vector<Study>{Study::checks, Study::order, Study::stands}));
  ASSERT_EQ(plan->strength.checks.size(), 1u);
  EXPECT_EQ(plan->strength.checks.front().verdict, Verdict::attention);
  EXPECT_EQ(words_of(*plan, plan->strength.checks.front()).title, "arbor: not checked");
  EXPECT_TRUE(is_whole(*plan)) << "it was not asked for";
  EXPECT_GT(plan->purchase.total.minor, 0);
}

TEST(LeftOut, BeforeAnythingIsReadyThereIsNoPlan) {
  const Waiting over({nullptr, Patience::in(-1)});
  const Result<Plan> plan = arbor({});
  ASSERT_FALSE(plan);
  EXPECT_EQ(to_string(plan.error().front()),
            "error: the time was up while building the structures: 1 structures with 0 pieces so far are too much for "
            "it; allow more time, part the job into several, or choose fewer pieces [too-long]");
}

}  // namespace
}  // namespace garthwright
