// SPDX-License-Identifier: Apache-2.0
#include "solid/plate.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>

namespace garthwright::solid {
namespace {

double area(const ConvexPolygon& polygon) {
  double twice = 0;
  for (std::size_t k = 0; k < polygon.points.size(); ++k) {
    twice += cross(polygon.points[k], polygon.points[(k + 1) % polygon.points.size()]);
  }
  return twice / 2;
}

double area(const Sawn& sawn) {
  double sum = 0;
  for (const ConvexPolygon& polygon : sawn.convex) sum += area(polygon);
  return sum;
}

TEST(Plate, UncutIsOneRectangle) {
  const Sawn sawn = saw({200, 50, {}, {}, {}}, 0.05);
  ASSERT_EQ(sawn.outline.size(), 1U);
  EXPECT_EQ(sawn.outline[0].rim.size(), 4U);
  EXPECT_EQ(sawn.convex.size(), 1U);
  EXPECT_DOUBLE_EQ(moments(sawn.outline).area, 10000);
}

TEST(Plate, NotchGivesEightCornersAndThreeParts) {
  const Sawn sawn = saw({200, 50, {{{80, 30}, {120, 51}}}, {}, {}}, 0.05);
  ASSERT_EQ(sawn.outline.size(), 1U);
  EXPECT_EQ(sawn.outline[0].rim.size(), 8U);
  EXPECT_EQ(sawn.convex.size(), 3U);
  EXPECT_DOUBLE_EQ(moments(sawn.outline).area, 10000 - 40 * 20);
}

TEST(Plate, MortiseIsAnOpening) {
  const Sawn sawn = saw({200, 50, {{{80, 10}, {120, 30}}}, {}, {}}, 0.05);
  ASSERT_EQ(sawn.outline.size(), 1U);
  ASSERT_EQ(sawn.outline[0].openings.size(), 1U);
  EXPECT_LT(moments(sawn.outline[0].openings[0]).area, 0);
  EXPECT_DOUBLE_EQ(moments(sawn.outline).area, 10000 - 40 * 20);
}

TEST(Plate, NotchRightThroughLeavesTwoPatches) {
  const Sawn sawn = saw({200, 50, {{{80, -1}, {120, 51}}}, {}, {}}, 0.05);
  EXPECT_EQ(sawn.outline.size(), 2U);
  EXPECT_DOUBLE_EQ(moments(sawn.outline).area, 160 * 50);
}

TEST(Plate, PatchesThatMeetInACornerStayApart) {
  const Sawn sawn = saw({100, 100, {{{-1, -1}, {50, 50}}, {{50, 50}, {101, 101}}}, {}, {}}, 0.05);
  ASSERT_EQ(sawn.outline.size(), 2U);
  EXPECT_DOUBLE_EQ(moments(sawn.outline[0].rim).area, 2500);
  EXPECT_DOUBLE_EQ(moments(sawn.outline[1].rim).area, 2500);
}

TEST(Plate, MitreBothEnds) {
  // 45° off each end of a 70 wide bar: the trapezoid's mean length is 70 short of the long edge.
  const double r = std::sqrt(0.5);
  const Sawn sawn = saw({500, 70, {}, {{{0, 0}, {-r, r}}, {{500, 0}, {r, r}}}, {}}, 0.05);
  ASSERT_EQ(sawn.outline.size(), 1U);
  EXPECT_EQ(sawn.outline[0].rim.size(), 4U);
  EXPECT_NEAR(moments(sawn.outline).area, (500 - 70) * 70, 1e-9);
}

OutlineEdge arc(Point2 from, Point2 to, Point2 centre, double from_angle, double to_angle) {
  return {OutlineEdge::Kind::arc, from, to, centre, norm(from - centre), from_angle, to_angle, {}, {}};
}

TEST(Plate, QuarterRoundAndCove) {
  constexpr double kPi = std::numbers::pi;
  // Round: centre in the timber. Cove: centre on the lower corner, hollow.
  const SawPath round{true, {arc({400, 0}, {500, 100}, {400, 100}, -kPi / 2, 0)}};
  const SawPath cove{true, {arc({400, 0}, {500, 100}, {500, 0}, kPi, kPi / 2)}};
  const Sawn rounded = saw({500, 100, {}, {}, {round}}, 0.05);
  const Sawn hollow = saw({500, 100, {}, {}, {cove}}, 0.05);
  EXPECT_NEAR(moments(rounded.outline).area, 400 * 100 + kPi * 2500, 1e-8);
  EXPECT_NEAR(moments(hollow.outline).area, 500 * 100 - kPi * 2500, 1e-8);
  EXPECT_THAT(rounded.outline[0].rim, testing::SizeIs(4));  // the arc ends where the top edge begins
  // Chords: inside a round, outside a hollow, by less than a chord's height over the arc's length.
  EXPECT_LT(area(rounded), moments(rounded.outline).area);
  EXPECT_GT(area(hollow), moments(hollow.outline).area);
  EXPECT_NEAR(area(rounded), moments(rounded.outline).area, 0.05 * 160);
  EXPECT_NEAR(area(hollow), moments(hollow.outline).area, 0.05 * 160);
  EXPECT_LE(rounded.convex.size(), 2U) << "a round stays convex whole";
}

TEST(Plate, PathThatTurnsBack) {
  // A beak: out, back under itself, and out again.
  const auto line = [](Point2 a, Point2 b) { return OutlineEdge{OutlineEdge::Kind::line, a, b, {}, 0, 0, 0, {}, {}}; };
  const SawPath beak{true, {line({180, 0}, {150, 30}), line({150, 30}, {190, 60}), line({190, 60}, {160, 100})}};
  const Sawn sawn = saw({200, 100, {}, {}, {beak}}, 0.05);
  // Trapezia under each stroke, from p = 0.
  EXPECT_NEAR(moments(sawn.outline).area, 30 * 165 + 30 * 170 + 40 * 175, 1e-9);
  EXPECT_NEAR(area(sawn), moments(sawn.outline).area, 1e-9);
}

TEST(Plate, OgeeOfCubics) {
  OutlineEdge s{OutlineEdge::Kind::cubic, {420, 0}, {500, 100}, {}, 0, 0, 0, {420, 60}, {500, 40}};
  const Sawn sawn = saw({500, 100, {}, {}, {{true, {s}}}}, 0.05);
  // The curve is its own mirror image about its middle, so it halves the 80 x 100 it stands in.
  EXPECT_NEAR(moments(sawn.outline).area, 460 * 100, 1e-9);
  EXPECT_NEAR(area(sawn), 460 * 100, 5);
}

OutlineEdge straight(Point2 from, Point2 to) { return {OutlineEdge::Kind::line, from, to, {}, 0, 0, 0, {}, {}}; }

// A bird's mouth with seat 40 and heel 30 takes half of 40 x 30, from either edge.
TEST(Plate, DipOfTwoLinesTakesItsTriangle) {
  for (const bool high : {false, true}) {
    const double edge = high ? 100 : 0, deep = high ? 76 : 24;
    Plate plate{500, 100, {}, {}, {}, {}};
    plate.dips.push_back({high, {straight({250, edge}, {268, deep}), straight({268, deep}, {300, edge})}});
    const Sawn sawn = saw(plate, 0.05);
    ASSERT_EQ(sawn.outline.size(), 1U);
    EXPECT_EQ(sawn.outline[0].rim.size(), 7U);
    EXPECT_NEAR(moments(sawn.outline).area, 500 * 100 - 600, 1e-9);
    EXPECT_NEAR(area(sawn), 500 * 100 - 600, 1e-9);
  }
}

// A hollow 40 deep over a chord of 400 has radius 520 and takes r² acos((r - h) / r) - (r - h) chord / 2.
TEST(Plate, DipOfAnArcTakesItsSegment) {
  const double r = 520, turn = std::acos(480.0 / r), segment = r * r * turn - 480 * 200;
  OutlineEdge arc{OutlineEdge::Kind::arc,      {100, 0}, {500, 0}, {300, -480}, r, std::numbers::pi / 2 + turn,
                  std::numbers::pi / 2 - turn, {},       {}};
  Plate plate{600, 90, {}, {}, {}, {}};
  plate.dips.push_back({false, {arc}});
  const Sawn sawn = saw(plate, 0.05);
  ASSERT_EQ(sawn.outline.size(), 1U);
  EXPECT_NEAR(moments(sawn.outline).area, 600 * 90 - segment, 1e-6);
  EXPECT_NEAR(area(sawn), 600 * 90 - segment, 0.05 * 420);
}

TEST(Plate, NoSizeGivesNothing) {
  EXPECT_TRUE(saw({0, 50, {}, {}, {}}, 0.05).outline.empty());
  EXPECT_TRUE(saw({std::nan(""), 50, {}, {}, {}}, 0.05).outline.empty());
}

// Random notches on a coarse grid, so that sides often coincide; the area by counting grid squares.
TEST(Plate, RandomNotchesLeaveWhatCountingSquaresSays) {
  std::mt19937 random(7);
  const auto pick = [&](int low, int high) {
    return static_cast<int>(random() % static_cast<unsigned>(high - low + 1)) + low;
  };
  for (int round = 0; round < 300; ++round) {
    Plate plate{40, 12, {}, {}, {}};
    const int count = pick(1, 8);
    for (int k = 0; k < count; ++k) {
      const int p = pick(-2, 38), q = pick(-2, 11);
      plate.notches.push_back({{p * 1.0, q * 1.0}, {p + pick(1, 10) * 1.0, q + pick(1, 6) * 1.0}});
    }
    int squares = 0;
    for (int p = 0; p < 40; ++p) {
      for (int q = 0; q < 12; ++q) {
        squares += std::none_of(plate.notches.begin(), plate.notches.end(), [&](const Rectangle& r) {
          return p + 0.5 > r.min.p && p + 0.5 < r.max.p && q + 0.5 > r.min.q && q + 0.5 < r.max.q;
        });
      }
    }
    const Sawn sawn = saw(plate, 0.05);
    EXPECT_NEAR(moments(sawn.outline).area, squares, 1e-9) << "round " << round;
    EXPECT_NEAR(area(sawn), squares, 1e-9) << "round " << round;
  }
}

}  // namespace
}  // namespace garthwright::solid
