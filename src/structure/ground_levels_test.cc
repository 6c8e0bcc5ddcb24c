// SPDX-License-Identifier: Apache-2.0
#include "structure/ground_levels.h"

#include <gmock/gmock.h>

#include <cmath>
#include <random>

namespace garthwright {
namespace {

using testing::HasSubstr;

GroundPoint point(double x, double y, double level) { return {x, y, level, "ground at " + std::to_string(int(x))}; }

TEST(Ground, NothingMeasuredIsLevelAtZero) {
  const Ground ground;
  EXPECT_FALSE(ground.measured());
  EXPECT_EQ(ground.at(1234, -5).level.value(), 0);
  EXPECT_FALSE(ground.at(1234, -5).beyond);
}

TEST(Ground, AreStraightAlongARowAndLevelAcrossIt) {
  const Ground ground({point(0, 0, 0), point(3000, 0, -150), point(1000, 0, -100)});  // in any order
  EXPECT_NEAR(ground.at(500, 0).level.value(), -50, 1e-9);
  EXPECT_NEAR(ground.at(2000, 900).level.value(), -125, 1e-9);
  EXPECT_FALSE(ground.at(3000, 0).beyond);
  EXPECT_TRUE(ground.at(3001, 0).beyond);
  EXPECT_NEAR(ground.at(5000, 0).level.value(), -150, 1e-9);
  EXPECT_THAT(ground.at(2000, 0).level.sum(), HasSubstr("ground at 1000"));
  EXPECT_THAT(ground.at(2000, 0).level.sum(), HasSubstr("ground at 3000"));
}

// A plane through the points is found again everywhere inside them, however they are joined.
TEST(Ground, FindAPlaneAgain) {
  std::mt19937 random(7);
  std::uniform_real_distribution<double> place(0, 8000);
  for (int round = 0; round < 40; ++round) {
    const double a = place(random) / 80000, b = place(random) / 80000;
    std::vector<GroundPoint> points;
    for (const double x : {0.0, 4000.0, 8000.0})
      for (const double y : {0.0, 4000.0, 8000.0}) points.push_back(point(x, y, a * x - b * y));
    for (int i = 0; i < 5; ++i) {
      const double x = place(random), y = place(random);
      points.push_back(point(x, y, a * x - b * y));
    }
    const Ground ground(points);
    for (int i = 0; i < 50; ++i) {
      const double x = place(random), y = place(random);
      const Ground::Level found = ground.at(x, y);
      EXPECT_FALSE(found.beyond);
      EXPECT_NEAR(found.level.value(), a * x - b * y, 1e-6);
    }
  }
}

// Over a bumpy grid: at each point its own level, never outside the range measured, and no step anywhere.
TEST(Ground, HaveNoStep) {
  std::mt19937 random(3);
  std::uniform_real_distribution<double> bump(-200, 200), place(-500, 6500);
  std::vector<GroundPoint> points;
  for (int i = 0; i < 4; ++i)
    for (int j = 0; j < 4; ++j) points.push_back(point(2000.0 * i, 2000.0 * j, bump(random)));
  const Ground ground(points);
  for (const GroundPoint& p : points) EXPECT_NEAR(ground.at(p.x, p.y).level.value(), p.level, 1e-6);
  for (int i = 0; i < 3000; ++i) {
    const double x = place(random), y = place(random), here = ground.at(x, y).level.value();
    EXPECT_LE(std::abs(here), 200 + 1e-6);
    EXPECT_NEAR(ground.at(x + 0.01, y + 0.01).level.value(), here, 0.02);  // 400 mm over 2 m is 0.2 in one
  }
}

TEST(Ground, FallForEverOnASlope) {
  const Ground ground = Ground::slope(1, 0, -8);
  EXPECT_NEAR(ground.at(2500, 700).level.value(), -200, 1e-9);
  EXPECT_THAT(ground.at(2500, 0).level.sum(), HasSubstr("slope -8 % over 2500"));
}

}  // namespace
}  // namespace garthwright
