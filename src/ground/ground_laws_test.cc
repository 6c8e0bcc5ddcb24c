// SPDX-License-Identifier: Apache-2.0
// What must hold of posts in the ground whatever the numbers.
#include <gtest/gtest.h>

#include <random>

#include "ground/broms.h"
#include "ground/concrete_bags.h"
#include "ground/elastic_posts.h"
#include "ground/ibc_posts.h"
#include "ground/soil.h"

namespace garthwright::ground {
namespace {

class RandomPosts : public ::testing::Test {
 protected:
  double between(double low, double high) { return std::uniform_real_distribution<double>(low, high)(random_); }
  std::mt19937 random_{42};
};

TEST_F(RandomPosts, TheLeastDepthCarriesJustItsForce) {
  for (int i = 0; i < 200; ++i) {
    const double p = between(0.01, 20), h = between(0.1, 4), b = between(0.1, 0.6), q = between(10, 100);
    const ibc::Post post = ibc::unconstrained(p, h, b, q);
    EXPECT_NEAR(p, ibc::unconstrained_capacity(post.depth, h, b, q), 1e-9 * p);
    EXPECT_NEAR(post.depth, ibc::unconstrained_pass(p, h, b, post.s1).depth, 1e-9) << "its own fixed point";
  }
}

TEST_F(RandomPosts, ADeeperOrWiderHoleNeverCarriesLess) {
  for (int i = 0; i < 200; ++i) {
    const double d = between(0.3, 2), more = d * between(1, 1.5), b = between(0.1, 0.5), wider = b * between(1, 1.5);
    const double h = between(0.2, 2), e = between(0.2, 2), cu = between(20, 150), phi = between(25, 40);
    EXPECT_LE(ibc::unconstrained_capacity(d, h, b, 40), ibc::unconstrained_capacity(more, h, b, 40));
    EXPECT_LE(ibc::unconstrained_capacity(d, h, b, 40), ibc::unconstrained_capacity(d, h, wider, 40));
    EXPECT_LE(broms::in_clay(cu, b, d, e).force_kn, broms::in_clay(cu, b, more, e).force_kn);
    EXPECT_LE(broms::in_sand(18, phi, b, d, e).force_kn, broms::in_sand(18, phi, b, more, e).force_kn);
    EXPECT_LE(broms::in_sand(18, phi, b, d, e).force_kn, broms::in_sand(18, phi, wider, d, e).force_kn);
  }
}

TEST_F(RandomPosts, AHigherPushNeverNeedsLessDepth) {
  for (int i = 0; i < 100; ++i) {
    const double p = between(0.1, 5), h = between(0.1, 2), b = between(0.1, 0.5);
    EXPECT_LE(ibc::unconstrained(p, h, b, 40).depth, ibc::unconstrained(p, 1.2 * h, b, 40).depth);
    EXPECT_LE(ibc::unconstrained(p, h, b, 40).depth, ibc::unconstrained(1.2 * p, h, b, 40).depth);
  }
}

TEST(Ground, UnitsDoNotMatter) {
  const double ft = 0.3048, lb = 4.4482216, psf_ft = 157.087;  // N/m² per m
  const double in_feet = ibc::unconstrained(179, 3.45, 0.8333, 300).depth;
  EXPECT_NEAR(in_feet * ft, ibc::unconstrained(179 * lb, 3.45 * ft, 0.8333 * ft, 300 * psf_ft).depth, 1e-5);
}

TEST(Ground, BeyondTwelveFeetTheSoilGivesNoMore) {
  const ibc::Post deep = ibc::unconstrained(20000, 10, 1, 150, ibc::kGreatestDepthFt);
  EXPECT_GT(deep.depth, ibc::kGreatestDepthFt);
  EXPECT_DOUBLE_EQ(150 * 12 / 3.0, deep.s1);
  EXPECT_GT(deep.depth, ibc::unconstrained(20000, 10, 1, 150).depth);
}

TEST(Ground, AShallowHoleInClayCarriesNothing) {
  EXPECT_NEAR(0, broms::in_clay(50, 0.3, 0.45, 1).force_kn, 1e-9);
  EXPECT_EQ(0, broms::in_clay(50, 0.3, 0.3, 1).force_kn);
}

// A bar on the two springs, pushed by h at height e: the closed forms of the rigid post, whatever the height.
TEST(Ground, SpringsUnderThePostAgreeWithTheRigidPost) {
  const double h = 1000, l = 600;
  for (const double e : {0.0, 300.0, 2100.0}) {
    const auto at_ground = [&](const GroundSprings& s) {
      const double turn = h * (e + s.depth_mm) / s.turn;
      return std::pair{h / s.shift + turn * s.depth_mm, turn};
    };
    const auto [even_shift, even_turn] = at_ground(springs_even(l, 15));
    EXPECT_NEAR(even_shift, rigid_post_even(h, e, l, 15).shift_mm, 1e-9);
    EXPECT_NEAR(even_turn, rigid_post_even(h, e, l, 15).turn_rad, 1e-12);
    const auto [rising_shift, rising_turn] = at_ground(springs_rising(l, 0.0066));
    EXPECT_NEAR(rising_shift, rigid_post_rising(h, e, l, 0.0066).shift_mm, 1e-9);
    EXPECT_NEAR(rising_turn, rigid_post_rising(h, e, l, 0.0066).turn_rad, 1e-12);
  }
}

TEST(Ground, BagsAreRoundedUpButNotByRoundOff) {
  EXPECT_EQ(11, bags(0.10, 1 / 108.0));  // 10.8
  EXPECT_EQ(3, bags(0.3, 0.1));
  EXPECT_EQ(0, bags(0, 0.1));
}

TEST(Ground, BadGroundIsRefused) {
  for (const char* name : {"peat", "made ground", "soft clay"}) EXPECT_EQ(0, plain_soil(name)->material_class) << name;
  EXPECT_FALSE(plain_soil("moon dust").has_value());
}

}  // namespace
}  // namespace garthwright::ground
