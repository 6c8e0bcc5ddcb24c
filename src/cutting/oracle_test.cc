// SPDX-License-Identifier: Apache-2.0
//
// Thousands of tiny problems with every feature on, against a search that tries everything and shares no code with the
// solver: limits, off-cuts, kerf, trim, pieces from some stocks only, other ways to get a piece.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <optional>
#include <random>
#include <unordered_map>

#include "cutting/cutting.h"

namespace garthwright::cutting {
namespace {

// Least cost by trying every content of every bar, in the caller's own terms.
class Oracle {
 public:
  explicit Oracle(const Problem& problem) : problem_(problem) {}

  std::optional<std::int64_t> least_cost() {
    std::vector<std::int64_t> wanted;
    for (const Piece& piece : problem_.pieces) wanted.push_back(piece.quantity);
    return from_stock(0, wanted);
  }

 private:
  using Wanted = std::vector<std::int64_t>;  // each below 16
  static constexpr std::int64_t kUnlimited = -1;

  // Stocks are used in order; `k` is the first that may still be used.
  std::optional<std::int64_t> from_stock(std::size_t k, const Wanted& wanted) {
    if (std::all_of(wanted.begin(), wanted.end(), [](std::int64_t w) { return w == 0; })) return 0;
    if (k == problem_.stock.size()) return std::nullopt;
    return bars_of(k, problem_.stock[k].limit.value_or(kUnlimited), wanted);
  }

  std::optional<std::int64_t> bars_of(std::size_t k, std::int64_t left, const Wanted& wanted) {
    std::uint64_t key = k << 8 | static_cast<std::uint64_t>(left + 1);
    for (std::int64_t w : wanted) key = key << 4 | static_cast<std::uint64_t>(w);
    if (const auto known = known_.find(key); known != known_.end()) return known->second;
    std::optional<std::int64_t> best = from_stock(k + 1, wanted);
    if (left != 0) {
      const Stock& stock = problem_.stock[k];
      Wanted rest = wanted;
      const std::int64_t room = stock.length - (stock.off_cut ? 0 : problem_.trim);
      fill(k, left, room, true, 0, 0, rest, wanted, best);
    }
    known_[key] = best;
    return best;
  }

  void fill(std::size_t k, std::int64_t left, std::int64_t room, bool empty, std::size_t piece, std::size_t way,
            Wanted& rest, const Wanted& before, std::optional<std::int64_t>& best) {
    if (piece == problem_.pieces.size()) {
      if (rest == before) return;
      const std::optional<std::int64_t> after = bars_of(k, left == kUnlimited ? left : left - 1, rest);
      if (after && (!best || *after + problem_.stock[k].cost < *best)) best = *after + problem_.stock[k].cost;
      return;
    }
    const Piece& p = problem_.pieces[piece];
    if (way > p.alternatives.size()) return fill(k, left, room, empty, piece + 1, 0, rest, before, best);
    fill(k, left, room, empty, piece, way + 1, rest, before, best);  // no more by this way
    const Way w = way == 0 ? Way{p.length, 1, p.only_from} : p.alternatives[way - 1];
    const bool allowed = w.only_from.empty() ||
                         std::find(w.only_from.begin(), w.only_from.end(), static_cast<int>(k)) != w.only_from.end();
    const std::int64_t needed = w.length + (empty ? 0 : problem_.kerf);
    if (!allowed || rest[piece] == 0 || needed > room) return;
    const std::int64_t kept = rest[piece];
    rest[piece] = std::max<std::int64_t>(0, kept - w.yield);
    fill(k, left, room - needed, false, piece, way, rest, before, best);
    rest[piece] = kept;
  }

  const Problem& problem_;
  std::unordered_map<std::uint64_t, std::optional<std::int64_t>> known_;  // by stock, bars left and pieces wanted
};

class RandomProblem {
 public:
  explicit RandomProblem(std::uint64_t seed) : random_(seed) {}

  Problem make() {
    Problem problem;
    problem.kerf = whole(0, 2);
    problem.trim = whole(0, 2);
    for (int k = whole(1, 4); k > 0; --k) {
      Stock stock{.length = whole(5, 30), .cost = whole(0, 5) == 0 ? 0 : whole(1, 40)};
      if (whole(0, 2) == 0 || stock.cost == 0) stock.limit = whole(0, 3);
      stock.off_cut = whole(0, 2) == 0;
      problem.stock.push_back(stock);
    }
    for (int i = whole(1, 4); i > 0; --i) {
      Piece piece{.length = whole(1, 16), .quantity = whole(1, 4), .only_from = some_stocks(problem, 4)};
      while (whole(0, 4) == 0) piece.alternatives.push_back({whole(1, 16), whole(1, 3), some_stocks(problem, 2)});
      problem.pieces.push_back(piece);
    }
    return problem;
  }

 private:
  int whole(int low, int high) {
    return low + static_cast<int>(random_() % static_cast<std::uint64_t>(high - low + 1));
  }

  std::vector<int> some_stocks(const Problem& problem, int one_in) {
    std::vector<int> stocks;
    if (whole(1, one_in) != 1) return stocks;
    for (int k = 0; k < static_cast<int>(problem.stock.size()); ++k)
      if (whole(0, 1) == 1) stocks.push_back(k);
    return stocks;
  }

  std::mt19937_64 random_;
};

TEST(Oracle, AgreesOnThousandsOfTinyProblems) {
  RandomProblem source(20240607);
  int solved = 0, infeasible = 0;
  for (int n = 0; n < 4000; ++n) {
    SCOPED_TRACE(n);
    const Problem problem = source.make();
    const std::optional<std::int64_t> least = Oracle(problem).least_cost();
    const Result result = solve(problem);
    if (!least) {
      EXPECT_EQ(result.verdict, Verdict::infeasible);
      EXPECT_FALSE(result.diagnostics.empty());
      ++infeasible;
      continue;
    }
    ASSERT_EQ(result.verdict, Verdict::solved);
    EXPECT_TRUE(result.optimal);
    EXPECT_EQ(result.cost, *least);
    EXPECT_THAT(faults(problem, result), testing::IsEmpty());
    ++solved;
  }
  EXPECT_GT(solved, 1000);  // the mill must grind both
  EXPECT_GT(infeasible, 300);
}

TEST(Oracle, AgreesWhereBoundsAloneDoNotDecide) {
  std::mt19937_64 random(7);
  const auto whole = [&](int low, int high) { return low + static_cast<int>(random() % (high - low + 1)); };
  std::int64_t nodes = 0;
  for (int n = 0; n < 1500; ++n) {
    SCOPED_TRACE(n);
    Problem problem;
    problem.kerf = whole(0, 1);
    for (int k = whole(1, 3); k > 0; --k) {
      const int length = whole(60, 120);
      problem.stock.push_back({.length = length, .cost = length * whole(90, 110)});
    }
    if (problem.stock.size() > 1) problem.stock[0].limit = whole(1, 4);
    for (int k = n % 2 == 0 ? 0 : whole(1, 2); k > 0; --k)
      problem.stock.push_back(
          {.length = whole(20, 70), .cost = whole(0, 1) * whole(500, 3000), .limit = 1, .off_cut = true});
    for (int i = whole(3, 5); i > 0; --i) problem.pieces.push_back({.length = whole(15, 58), .quantity = whole(1, 4)});
    const Result result = solve(problem);
    ASSERT_EQ(result.verdict, Verdict::solved);
    EXPECT_TRUE(result.optimal);
    EXPECT_EQ(result.cost, Oracle(problem).least_cost());
    EXPECT_THAT(faults(problem, result), testing::IsEmpty());
    nodes += result.nodes;
  }
  EXPECT_GT(nodes, 20);  // some must have been searched
}

}  // namespace
}  // namespace garthwright::cutting
