// SPDX-License-Identifier: Apache-2.0
//
// Lists that nobody sane writes: each gets an answer or a clear refusal, never a hang or an overflow.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <atomic>
#include <limits>

#include "cutting/cutting.h"

namespace garthwright::cutting {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;

std::string refusal(const Problem& problem) {
  const Result result = solve(problem);
  EXPECT_EQ(result.verdict, Verdict::refused);
  return result.diagnostics.empty() ? "" : to_string(result.diagnostics.front());
}

Problem plain() {
  Problem problem;
  problem.stock = {{.length = 4800, .cost = 1200}};
  problem.pieces = {{.length = 1000, .quantity = 3}};
  return problem;
}

TEST(Absurd, NumbersOutOfRangeAreNamed) {
  Problem problem = plain();
  problem.pieces[0].length = -5;
  EXPECT_THAT(refusal(problem), HasSubstr("piece 1: error: length is -5; give 1 to 1000000000000"));
  problem = plain();
  problem.pieces[0].quantity = 0;
  EXPECT_THAT(refusal(problem), HasSubstr("quantity is 0"));
  problem = plain();
  problem.stock[0].length = std::numeric_limits<std::int64_t>::max();
  EXPECT_THAT(refusal(problem), HasSubstr("stock 1 has length"));
  problem = plain();
  problem.stock[0].cost = -1;
  EXPECT_THAT(refusal(problem), HasSubstr("stock 1 costs -1"));
  problem = plain();
  problem.kerf = -1;
  EXPECT_THAT(refusal(problem), HasSubstr("kerf"));
  problem = plain();
  problem.stock.clear();
  EXPECT_THAT(refusal(problem), HasSubstr("no stock"));
  problem = plain();
  problem.pieces[0].only_from = {3};
  EXPECT_THAT(refusal(problem), HasSubstr("only_from"));
}

TEST(Absurd, SumsThatWouldOverflowAreRefused) {
  Problem problem = plain();
  problem.stock[0].length = 1'000'000'000'000;
  problem.pieces[0] = {.length = 999'999'999'999, .quantity = 1'000'000'000};
  EXPECT_THAT(refusal(problem), HasSubstr("what can be added up"));
}

TEST(Absurd, NothingWantedCostsNothing) {
  Problem problem = plain();
  problem.pieces.clear();
  const Result result = solve(problem);
  EXPECT_EQ(result.verdict, Verdict::solved);
  EXPECT_TRUE(result.optimal);
  EXPECT_EQ(result.cost, 0);
}

TEST(Absurd, AMillionOfAThing) {
  Problem problem = plain();
  problem.kerf = 3;
  problem.pieces = {{.length = 1000, .quantity = 1'000'000},
                    {.length = 1700, .quantity = 999'999},
                    {.length = 333, .quantity = 123'456}};
  const Result result = solve(problem);
  EXPECT_EQ(result.verdict, Verdict::solved);
  EXPECT_THAT(faults(problem, result), IsEmpty());
  EXPECT_LT(result.gap(), 1e-5);
}

TEST(Absurd, LengthsOfAMillionMillion) {
  Problem problem;
  problem.stock = {{.length = 999'999'999'989, .cost = 1'000'000'000'000}, {.length = 700'000'000'001, .cost = 3}};
  problem.pieces = {{.length = 333'333'333'331, .quantity = 7},
                    {.length = 123'456'789'011, .quantity = 11},
                    {.length = 1, .quantity = 5}};
  problem.kerf = 1;
  const Result result = solve(problem);
  EXPECT_EQ(result.verdict, Verdict::solved);
  EXPECT_THAT(faults(problem, result), IsEmpty());
}

TEST(Absurd, TinyPiecesOfAnEndlessLength) {
  Problem problem;
  problem.stock = {{.length = 1'000'000'000'000, .cost = 5}};
  problem.pieces = {
      {.length = 1, .quantity = 1'000'000}, {.length = 2, .quantity = 1'000'000}, {.length = 7, .quantity = 1'000'000}};
  problem.kerf = 0;
  const Result result = solve(problem);
  EXPECT_TRUE(result.optimal);
  EXPECT_EQ(result.cost, 5);
}

TEST(Absurd, AThousandDifferentLengthsEndByWork) {
  Problem problem;
  problem.stock = {{.length = 999'983, .cost = 991}, {.length = 700'001, .cost = 701}};
  std::uint64_t x = 1;
  for (int i = 0; i < 1000; ++i) {
    x = x * 6364136223846793005u + 1442695040888963407u;
    problem.pieces.push_back({.length = 20'000 + static_cast<std::int64_t>((x >> 33) % 400'000), .quantity = 3});
  }
  Options options;
  options.work_limit = 300'000'000;
  const Result result = solve(problem, options);
  EXPECT_EQ(result.verdict, Verdict::solved);
  EXPECT_THAT(faults(problem, result), IsEmpty());
  EXPECT_LT(result.gap(), 0.2);
}

TEST(Absurd, CancelledAtOnceStillAnswersOrSaysUnknown) {
  std::atomic<bool> cancel{true};
  Options options;
  options.cancel = &cancel;
  Problem problem = plain();
  for (int i = 0; i < 30; ++i) problem.pieces.push_back({.length = 1001 + 37 * i, .quantity = 4});
  const Result result = solve(problem, options);
  if (result.verdict == Verdict::solved) {
    EXPECT_THAT(faults(problem, result), IsEmpty());
  }
  EXPECT_NE(result.verdict, Verdict::infeasible);
}

TEST(Absurd, SameProblemSameAnswer) {
  Problem problem = plain();
  problem.stock.push_back({.length = 3600, .cost = 930});
  for (int i = 0; i < 12; ++i) problem.pieces.push_back({.length = 301 + 173 * i, .quantity = 5});
  problem.kerf = 3;
  const Result a = solve(problem), b = solve(problem);
  EXPECT_EQ(a.layouts, b.layouts);
  EXPECT_EQ(a.work, b.work);
}

}  // namespace
}  // namespace garthwright::cutting
