// SPDX-License-Identifier: Apache-2.0
#include "base/traced.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace garthwright {
namespace {

const Traced kOpening = Traced::named("opening", 1350, "choice");
const Traced kPost = Traced::named("post thickness", 45, "yard");

TEST(Traced, ReadsAsTheSumItCameFrom) {
  const Traced length = kOpening + 2 * kPost;
  EXPECT_DOUBLE_EQ(length.value(), 1440);
  EXPECT_EQ(length.sum(), "opening 1350 + 2 × post thickness 45");
  EXPECT_EQ((kOpening / 2 - kPost - 10).sum(), "1/2 × opening 1350 − post thickness 45 − 10");
}

TEST(Traced, DifferencesCancel) {
  const Traced left = kPost;              // right face of the left post
  const Traced right = kPost + kOpening;  // left face of the right post
  EXPECT_EQ((right - left).sum(), "opening 1350");
  EXPECT_TRUE((right - right).plain());
}

TEST(Traced, AStepThatIsNotLinearKeepsItsFormula) {
  const Traced leg = Traced::named("brace leg", 450, "choice");
  const Traced edge = Traced::step("long edge", leg.value() * std::sqrt(2.0), "brace leg 450 × √2", {leg});
  const std::vector<std::string> story = edge.story();
  ASSERT_EQ(story.size(), 2u);
  EXPECT_EQ(story[0], "636.4 = brace leg 450 × √2");
  EXPECT_EQ(story[1], "  brace leg 450 (choice)");
}

TEST(Traced, AnyTreeOfSumsHasTheValueOfItsTerms) {
  std::mt19937 random(7);
  std::vector<Traced> pool{kOpening, kPost, Traced::named("overhang", 300), 12.5};
  for (int i = 0; i < 2000; ++i) {
    const Traced& a = pool[random() % pool.size()];
    const Traced& b = pool[random() % pool.size()];
    const Traced c = random() % 3 == 0 ? a + b : random() % 2 == 0 ? a - b : 0.5 * a;
    double by_terms = c.constant();
    for (const Traced::Term& term : c.terms()) by_terms += term.factor * term.quantity->value;
    EXPECT_NEAR(c.value(), by_terms, 1e-6 * std::max(1.0, std::abs(by_terms)));
    if (std::abs(c.value()) < 1e6) pool.push_back(c);
  }
}

// A pattern may derive a length from the one before as often as its budget lets it.
TEST(Traced, AMillionStepsAreLetGoOfAndToldOf) {
  Traced chain = Traced::named("first", 1);
  for (int i = 0; i < 1'000'000; ++i) chain = Traced::step("next", 1, "the one before", {chain});
  EXPECT_LE(chain.story().size(), 1001u);
  const Traced also = chain;  // held by two, let go of by one after the other
  chain = 0;
  EXPECT_EQ(also.value(), 1);
}

TEST(Traced, AProductOfProductsKeepsAShortFormula) {
  Traced a = Traced::named("a", 1);
  for (int i = 0; i < 60; ++i) a = a * a;
  EXPECT_LT(a.sum().size(), 400u);
  EXPECT_EQ((Traced::named("a", 2) * Traced::named("b", 3)).sum(), "(a 2) × (b 3)");
}

}  // namespace
}  // namespace garthwright
