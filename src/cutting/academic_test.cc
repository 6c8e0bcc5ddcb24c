// SPDX-License-Identifier: Apache-2.0
//
// Outside reference: published optima of academic sets (Falkenauer 1996; Scholl, Klein, Jürgens 1997; Schwerin and
// Wäscher 1997; Wäscher and Gau 1996; Belov and Scheithauer's hard28; random of Delorme, Iori, Martello 2016), as held
// by the shared benchmark folder beside the checkout. A few of each; the whole table is made by bench/cutting_sets.cc.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "cutting/cutting.h"

namespace garthwright::cutting {
namespace {

std::filesystem::path shared_folder() {
  if (const char* given = std::getenv("GARTHWRIGHT_SHARED")) return given;
  return std::filesystem::path(GARTHWRIGHT_SOURCE_DIR) / ".." / "shared";
}

struct Sample {
  std::string file;
  int every;
};

Problem problem_of(const nlohmann::json& json) {
  Problem problem;
  problem.stock = {{.length = json["capacity"], .cost = 1}};
  for (const auto& item : json["items"]) problem.pieces.push_back({.length = item[0], .quantity = item[1]});
  return problem;
}

// Long searches, in which finding and refuting run side by side.
TEST(Threads, TwoGiveTheAnswerOfOne) {
  if (!std::filesystem::exists(shared_folder())) GTEST_SKIP() << "no benchmark folder at " << shared_folder();
  std::ifstream in(shared_folder() / "benchmarks" / "cutting" / "hard28.jsonl");
  ASSERT_TRUE(in);
  int line_number = 0;
  for (std::string line; line_number < 10 && std::getline(in, line);) {
    if (line_number++ % 2 != 0) continue;
    const auto json = nlohmann::json::parse(line);
    SCOPED_TRACE(json["name"].get<std::string>());
    const Problem problem = problem_of(json);
    Options options;
    options.work_limit = 6'000'000'000;
    const Result one = solve(problem, options);
    options.threads = 2;
    const Result two = solve(problem, options);
    EXPECT_TRUE(one.optimal);
    EXPECT_TRUE(two.optimal);
    EXPECT_EQ(one.layouts, two.layouts);
    EXPECT_EQ(one.lower_bound, two.lower_bound);
  }
  EXPECT_EQ(line_number, 10);
}

class Academic : public testing::TestWithParam<Sample> {};

TEST_P(Academic, ProvenOptimaEqualThePublishedOnes) {
  if (!std::filesystem::exists(shared_folder())) GTEST_SKIP() << "no benchmark folder at " << shared_folder();
  std::ifstream in(shared_folder() / "benchmarks" / "cutting" / (GetParam().file + ".jsonl"));
  ASSERT_TRUE(in) << "the folder is there but not " << GetParam().file;
  Options options;
  options.work_limit = 6'000'000'000;
  int line_number = 0, tried = 0;
  for (std::string line; std::getline(in, line);) {
    if (line_number++ % GetParam().every != 0) continue;
    const auto json = nlohmann::json::parse(line);
    SCOPED_TRACE(json["name"].get<std::string>());
    const Problem problem = problem_of(json);
    const Result result = solve(problem, options);
    EXPECT_TRUE(result.optimal);
    EXPECT_EQ(result.cost, json["optimum"].get<std::int64_t>());
    EXPECT_THAT(faults(problem, result), testing::IsEmpty());
    ++tried;
  }
  EXPECT_GT(tried, 0);
}

INSTANTIATE_TEST_SUITE_P(Samples, Academic,
                         testing::Values(Sample{"falkenauer_u", 16}, Sample{"falkenauer_t", 20}, Sample{"scholl1", 60},
                                         Sample{"scholl2", 40}, Sample{"schwerin1", 20}, Sample{"waescher", 6},
                                         Sample{"random", 60}),
                         [](const auto& info) { return info.param.file; });

}  // namespace
}  // namespace garthwright::cutting
