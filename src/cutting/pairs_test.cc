// SPDX-License-Identifier: Apache-2.0
#include "cutting/pairs.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>
#include <variant>

#include "cutting/reduction.h"

namespace garthwright::cutting {
namespace {

// Whether `bars` of one length are enough, by putting piece after piece into every bar that has room.
bool fits_by_trial(std::vector<std::int64_t> room, const std::vector<std::int64_t>& pieces, std::size_t at = 0) {
  if (at == pieces.size()) return true;
  for (std::size_t b = 0; b < room.size(); ++b) {
    if (room[b] < pieces[at]) continue;
    room[b] -= pieces[at];
    if (fits_by_trial(room, pieces, at + 1)) return true;
    room[b] += pieces[at];
    if (room[b] == room.back() && std::all_of(room.begin() + static_cast<std::ptrdiff_t>(b), room.end(),
                                              [&](std::int64_t r) { return r == room[b]; }))
      return false;  // the bars from here on are alike
  }
  return false;
}

// With no pattern listed, branching on pairs must decide alone.
TEST(Pairs, DecideEveryMixAsTryingEverythingDoes) {
  std::mt19937_64 random(5);
  const auto whole = [&](int low, int high) { return low + static_cast<int>(random() % (high - low + 1)); };
  int found = 0, refuted = 0, branched = 0;
  for (int trial = 0; trial < 400; ++trial) {
    SCOPED_TRACE(trial);
    Problem problem;
    problem.stock = {{.length = 40, .cost = 1}};
    std::vector<std::int64_t> pieces;
    std::int64_t sum = 0;
    for (int i = whole(4, 7); i > 0; --i) {
      problem.pieces.push_back({.length = whole(7, 23), .quantity = whole(1, 2)});
      for (std::int64_t n = 0; n < problem.pieces.back().quantity; ++n) pieces.push_back(problem.pieces.back().length);
      sum += problem.pieces.back().length * problem.pieces.back().quantity;
    }
    const auto reduced = reduce(problem);
    ASSERT_TRUE(std::holds_alternative<Reduction>(reduced));
    const Model& model = std::get<Reduction>(reduced).model;
    const std::vector<std::int64_t> mix{(sum + 39) / 40 + whole(0, 1)};
    Work work(1'000'000'000, 0, nullptr);
    const PackResult result = PairSearch(model, mix, {}, {}).run({.nodes = 5000, .listed_patterns = 0}, work);
    const bool fits = fits_by_trial(std::vector<std::int64_t>(mix[0], 40), pieces);
    EXPECT_EQ(result.packing, fits ? Packing::found : Packing::refuted);

    // Node after node, each in a call of its own, it ends the same.
    PairSearch again(model, mix, {}, {});
    PackResult step;
    std::int64_t nodes = 0;
    do {
      step = again.run({.nodes = 1, .listed_patterns = 0}, work);
      nodes += step.nodes;
    } while (step.packing == Packing::unknown && again.open());
    EXPECT_EQ(step.packing, result.packing);
    EXPECT_EQ(nodes, result.nodes);
    (fits ? found : refuted) += 1;
    branched += result.nodes > 1;
    if (!fits) continue;
    std::vector<std::int64_t> got(model.rows(), 0);
    std::int64_t bars = 0;
    for (const Use& use : result.plan.uses) {
      std::int64_t length = 0;
      for (const ItemCount& part : use.pattern.items) {
        length += part.count * model.items[part.item].length;
        got[model.items[part.item].row] += part.count * use.count;
      }
      EXPECT_LE(length, model.bars[0].length);
      bars += use.count;
    }
    EXPECT_LE(bars, mix[0]);
    for (int i = 0; i < model.rows(); ++i) EXPECT_GE(got[i], model.demand[i]);
  }
  EXPECT_GT(found, 50);
  EXPECT_GT(refuted, 20);
  EXPECT_GT(branched, 5);
}

}  // namespace
}  // namespace garthwright::cutting
