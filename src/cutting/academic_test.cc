// SPDX-License-Identifier: Apache-2.0
//
// Outside reference: published optima of academic sets, a few instances of each: tests/reference/cutting, whose README
// names the sets and where the optima are from. Whole sets are timed by bench/cutting_sets.cc.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <sstream>

#include "base/reference_for_tests.h"
#include "cutting/cutting.h"

namespace garthwright::cutting {
namespace {

struct Instance {
  std::string name;
  Problem problem;
  std::int64_t optimum = 0;  ///< least number of stock lengths, as published
};

std::vector<Instance> instances(const std::string& set) {
  std::vector<Instance> list;
  std::istringstream in(reference::text("cutting/" + set + ".jsonl"));
  for (std::string line; std::getline(in, line);) {
    const auto json = nlohmann::json::parse(line);
    Instance instance{json["name"], {}, json["optimum"]};
    instance.problem.stock = {{.length = json["capacity"], .cost = 1}};
    for (const auto& item : json["items"]) instance.problem.pieces.push_back({.length = item[0], .quantity = item[1]});
    list.push_back(std::move(instance));
  }
  return list;
}

// Long searches, in which finding and refuting run side by side.
TEST(Threads, TwoGiveTheAnswerOfOne) {
  const auto hard = instances("hard28");
  ASSERT_EQ(hard.size(), 5u);
  for (const Instance& instance : hard) {
    SCOPED_TRACE(instance.name);
    Options options;
    options.work_limit = 6'000'000'000;
    const Result one = solve(instance.problem, options);
    options.threads = 2;
    const Result two = solve(instance.problem, options);
    EXPECT_TRUE(one.optimal);
    EXPECT_TRUE(two.optimal);
    EXPECT_EQ(one.cost, instance.optimum);
    EXPECT_EQ(one.layouts, two.layouts);
    EXPECT_EQ(one.lower_bound, two.lower_bound);
  }
}

class Academic : public testing::TestWithParam<const char*> {};

TEST_P(Academic, ProvenOptimaEqualThePublishedOnes) {
  Options options;
  options.work_limit = 6'000'000'000;
  const auto set = instances(GetParam());
  ASSERT_FALSE(set.empty());
  for (const Instance& instance : set) {
    SCOPED_TRACE(instance.name);
    const Result result = solve(instance.problem, options);
    EXPECT_TRUE(result.optimal);
    EXPECT_EQ(result.cost, instance.optimum);
    EXPECT_THAT(faults(instance.problem, result), testing::IsEmpty());
  }
}

INSTANTIATE_TEST_SUITE_P(Samples, Academic,
                         testing::Values("falkenauer_u", "falkenauer_t", "scholl1", "scholl2", "scholl3", "schwerin1",
                                         "waescher", "random", "ai_201", "ani_201"),
                         [](const auto& info) { return std::string(info.param); });

}  // namespace
}  // namespace garthwright::cutting
