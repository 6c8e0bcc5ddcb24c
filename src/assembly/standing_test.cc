// SPDX-License-Identifier: Apache-2.0
#include "assembly/standing.h"

#include <gtest/gtest.h>

#include "assembly/sway.h"
#include "assembly/test_shapes.h"

namespace garthwright::assembly {
namespace {

using testing::box;
using testing::piece;
using testing::Random;

Standing standing_of(const std::vector<ConvexPart>& parts, Vec3 down = {0, 0, -1}) {
  const Piece p = piece("p", parts);
  return standing({&p}, down);
}

TEST(Standing, APostTipsAtTheSlopeOfHalfItsWidthOverHalfItsHeight) {
  const Standing s = standing_of({box(0, 0, 0, 90, 90, 2400)});
  EXPECT_DOUBLE_EQ(s.margin_mm, 45);
  EXPECT_NEAR(s.tip_deg, 2.1476, 1e-4);  // atan(45 / 1200)
  EXPECT_NEAR(s.mass_kg, 0.09 * 0.09 * 2.4 * 480, 1e-9);
  EXPECT_DOUBLE_EQ(s.height_mm, 1200);
}

TEST(Standing, AnOverhangFallsOverByItsNegativeMargin) {
  // A foot 100 wide carries an arm whose middle is 250 beyond it: centre of mass at (10·50 + 30·350) / 40.
  const Standing s = standing_of({box(0, 0, 0, 100, 100, 100), box(100, 0, 90, 600, 100, 150)});
  const double mass_foot = 100 * 100, mass_arm = 500 * 60;
  const double x = (mass_foot * 50 + mass_arm * 350) / (mass_foot + mass_arm);
  EXPECT_NEAR(s.margin_mm, 100 - x, 1e-9);
  EXPECT_FALSE(s.stable());
  EXPECT_LT(s.tip_deg, 0);
}

TEST(Standing, OnAnEdgeOrAPointIsNotStanding) {
  const auto roof = make_prism(1, 0, 100, {{0, 0}, {50, 50}, {-50, 50}});
  EXPECT_NEAR(standing_of({*roof}).margin_mm, 0, 1e-9);
  EXPECT_FALSE(standing_of({*roof}).stable());
  EXPECT_TRUE(standing_of({*roof}, {0, 0, 1}).stable());
}

TEST(Standing, TheSupportIsTheHullOfAllThatTouches) {
  // A stool on three feet: the margin is to the line between two of them.
  const Standing s = standing_of({box(0, 0, 0, 10, 10, 400), box(390, 0, 0, 400, 10, 400),
                                  box(195, 390, 0, 205, 400, 400), box(0, 0, 400, 400, 400, 420)});
  EXPECT_GT(s.margin_mm, 90);
  EXPECT_LT(s.margin_mm, 100);
}

TEST(Standing, DoesNotDependOnWhereItStands) {
  Random random(5);
  for (int round = 0; round < 50; ++round) {
    std::vector<ConvexPart> parts, moved;
    const Vec3 by{random.between(-900, 900), random.between(-900, 900), random.between(-900, 900)};
    for (int k = 0; k < 4; ++k) {
      const double x = random.between(0, 90), y = random.between(0, 90), z = random.between(0, 90);
      parts.push_back(box(x, y, z, x + random.between(5, 50), y + random.between(5, 50), z + random.between(5, 50)));
      moved.push_back(shifted(parts.back(), by));
    }
    for (const Vec3 down : {Vec3{0, 0, -1}, Vec3{1, 0, 0}, Vec3{0, -1, 0}}) {
      EXPECT_NEAR(standing_of(parts, down).margin_mm, standing_of(moved, down).margin_mm, 1e-6);
      EXPECT_NEAR(standing_of(parts, down).tip_deg, standing_of(moved, down).tip_deg, 1e-6);
    }
  }
}

TEST(Persons, AreRoundedUpButNotByRounding) {
  EXPECT_EQ(persons_to_lift(25, 1, 25), 1);
  EXPECT_EQ(persons_to_lift(25.01, 1, 25), 2);
  EXPECT_EQ(persons_to_lift(0.1 + 0.2, 1, 0.3), 1);
  EXPECT_EQ(persons_to_lift(50, 0.5, 25), 1);
}

TEST(Sway, ByHand) {
  // ρm 400 kg/m³, d 5 mm: 8000 · 5 / 23 = 1739.13 N/mm; 2 screws 100 apart: 2 · 1739.13 · 50² = 8.6957e6 N mm;
  // 100 N at 2000 mm: 100 · 4e6 / (2 · 8.6957e6) = 23 mm.
  EXPECT_NEAR(slip_modulus(400, 5), 1739.1304, 1e-4);
  EXPECT_NEAR(sway({400, 5, 100, 2000, 2, 100}), 23.0, 1e-9);
}

}  // namespace
}  // namespace garthwright::assembly
