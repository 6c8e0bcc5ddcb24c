// SPDX-License-Identifier: Apache-2.0
#include "plan/thrift.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include "base/source_dir_for_tests.h"
#include "plan/plan.h"

namespace garthwright {
namespace {

const std::string kSource = source_dir();
const pattern::Shelves kShelves{{kSource + "/patterns", kSource + "/tests/patterns"}, {kSource + "/catalogues"}};

Result<pattern::Job> masts(double in_ground) {
  return pattern::parse_job(
      fmt::format(
          "format = 1\n[site]\nexposure = \"sheltered\"\nclimber = \"none\"\n[timber]\ncatalogue = \"harrow-lane\"\n"
          "[[structure]]\npattern = \"masts\"\n[structure.choices]\nheight = 1700\nhole = 200\nin_ground = {}\n",
          in_ground),
      "job.toml", kShelves);
}

/// A shallower hole costs less, and the post falls over: what is proposed stands as the job does.
TEST(Thrift, ProposesOnlyWhatStillPasses) {
  int proposed = 0, passed_over = 0;
  for (const double in_ground : {830.0, 1000.0}) {
    const Result<pattern::Job> job = masts(in_ground);
    ASSERT_TRUE(job);
    const Result<Plan> now = make_plan(*job, kShelves);
    ASSERT_TRUE(now);
    ASSERT_EQ(count(*now, Verdict::fails), 0);
    const Result<std::vector<ChoiceThrift>> found = thrift(*job, kShelves, {"in_ground"});
    ASSERT_TRUE(found);
    const buying::Thrift& depth = found->front().found;
    EXPECT_LE(depth.passed_over, 2 * buying::kMostAsked);
    passed_over += depth.passed_over;
    for (const buying::Cheaper& cheaper : depth.cheaper) {
      const Result<Plan> then = make_plan(*masts(cheaper.value), kShelves);
      ASSERT_TRUE(then);
      EXPECT_EQ(count(*then, Verdict::fails), 0) << cheaper.value;
      EXPECT_EQ(then->purchase.total, cheaper.cost);
      ++proposed;
    }
  }
  EXPECT_GT(proposed, 0);
  EXPECT_GT(passed_over, 0);
}

}  // namespace
}  // namespace garthwright
