// SPDX-License-Identifier: Apache-2.0
#include "solid/closed_form.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>

#include "solid/example_stand.h"
#include "solid/kernel.h"

namespace garthwright::solid {
namespace {

constexpr double kPi = std::numbers::pi;

Piece bar(double length, double width, double thickness) {
  Piece p;
  p.length = length;
  p.width = width;
  p.thickness = thickness;
  return p;
}

// The closed form and the kernel's surface integrals must say the same of a piece, and what a hand says.
void expect_measures(const Piece& piece, double volume, Vec3 centre) {
  const Machined made = machined(piece, "piece");
  EXPECT_TRUE(made.diagnostics.empty());
  const auto closed = closed_form(made);
  ASSERT_TRUE(closed);
  const Measures kernel = kernel_measures(kernel_shape(made));
  EXPECT_NEAR(closed->volume_mm3, volume, 1e-9 * volume);
  EXPECT_NEAR(kernel.volume_mm3, volume, 1e-7 * volume);
  EXPECT_NEAR(norm(closed->centre - centre), 0, 1e-7);
  EXPECT_NEAR(norm(kernel.centre - centre), 0, 1e-4);
}

TEST(Measures, BoxMinusNotch) {
  Piece p = bar(1000, 100, 50);
  p.machining.push_back(example::notch({{300, 60, 0}, {400, 100, 50}}, Face::edge_high));
  const double box = 1000 * 100 * 50, notch = 100 * 40 * 50, rest = box - notch;
  expect_measures(p, rest, {(box * 500 - notch * 350) / rest, (box * 50 - notch * 80) / rest, 25});
}

TEST(Measures, NotchesFromTwoSides) {
  Piece p = bar(1000, 100, 50);
  p.machining.push_back(example::notch({{300, 60, 0}, {400, 100, 50}}, Face::edge_high));  // through the thickness
  p.machining.push_back(example::notch({{350, 0, 30}, {500, 100, 50}}, Face::side_high));  // through the width
  // The second takes 150 x 100 x 20, less what the first has taken of it: 50 x 40 x 20.
  const double box = 5e6, a = 100 * 40 * 50, b = 150 * 100 * 20, both = 50 * 40 * 20;
  const double rest = box - a - b + both;
  expect_measures(p, rest,
                  {(box * 500 - a * 350 - b * 425 + both * 375) / rest, (box * 50 - a * 80 - b * 50 + both * 80) / rest,
                   (box * 25 - a * 25 - b * 40 + both * 40) / rest});
}

TEST(Measures, QuarterRoundEnds) {
  Piece p = bar(1000, 100, 50);
  p.machining.push_back(example::quarter_round(End::start, 1000, 100, 100));
  p.machining.push_back(example::quarter_round(End::finish, 1000, 100, 100));
  // 800 of full width and two quarter discs, whose centroids lie 4r/3π from their two straight sides.
  const double full = 800 * 100, quarter = kPi * 100 * 100 / 4, area = full + 2 * quarter;
  expect_measures(p, area * 50, {500, (full * 50 + 2 * quarter * (100 - 4 * 100 / (3 * kPi))) / area, 25});
}

TEST(Measures, MitredBrace) {
  const Structure s = example::stand();
  const Piece& brace = s[PieceId{example::find(s, "brace").index}];
  const double length = example::kLeg * std::sqrt(2.0), wide = example::kBraceWide;
  // A trapezoid with 45° ends: the inner edge is twice the width shorter. Centroid of a trapezoid from its long side:
  // h/3 · (2 short + long) / (short + long).
  const double inner = length - 2 * wide;
  expect_measures(brace, (length + inner) / 2 * wide * example::kThick,
                  {length / 2, wide / 3 * (2 * inner + length) / (inner + length), example::kThick / 2});
}

TEST(Measures, BoltHoleWithCounterbore) {
  Piece p = bar(600, 100, 50);
  p.machining.push_back(Hole{Hole::Kind::bolt, {200, 40, 0}, {0, 0, 1}, 11, 0, true});
  p.machining.push_back(Hole{Hole::Kind::counterbore, {200, 40, 0}, {0, 0, 1}, 30, 12, false});
  p.machining.push_back(Hole{Hole::Kind::pilot, {300, 40, 0}, {0, 0, 1}, 3, 40, false});  // not modelled
  const double box = 600 * 100 * 50, wide = kPi * 15 * 15 * 12, narrow = kPi * 5.5 * 5.5 * 38;
  const double rest = box - wide - narrow;
  expect_measures(p, rest,
                  {(box * 300 - (wide + narrow) * 200) / rest, (box * 50 - (wide + narrow) * 40) / rest,
                   (box * 25 - wide * 6 - narrow * 31) / rest});
}

TEST(Measures, BoreAcrossANotchOnlyTakesTimber) {
  Piece p = bar(600, 100, 50);
  p.machining.push_back(example::notch({{150, 60, 0}, {250, 100, 50}}, Face::edge_high));
  p.machining.push_back(Hole{Hole::Kind::bolt, {200, 0, 25}, {0, 1, 0}, 11, 0, true});
  const double box = 600 * 100 * 50, notch = 100 * 40 * 50, bore = kPi * 5.5 * 5.5 * 60, rest = box - notch - bore;
  expect_measures(p, rest,
                  {(box * 300 - notch * 200 - bore * 200) / rest, (box * 50 - notch * 80 - bore * 30) / rest, 25});
}

TEST(Measures, CompoundCutIsAPlaneThroughTheBox) {
  Piece p = bar(600, 100, 50);
  // The end's plane leans both ways: the mean length of the bar is its length on the middle line.
  p.machining.push_back(EndCut{End::finish, {550, 50, 25}, unit({1, 0.3, 0.2})});
  const auto closed = closed_form(machined(p, "piece"));
  ASSERT_TRUE(closed);
  EXPECT_NEAR(closed->volume_mm3, 550 * 100 * 50, 1e-6);
  EXPECT_NEAR(kernel_measures(kernel_shape(machined(p, "piece"))).volume_mm3, 550 * 100 * 50, 1);
}

TEST(Measures, AHousingAcrossACurveIsTheKernelsToMeasure) {
  Piece p = bar(600, 100, 50);
  p.machining.push_back(example::quarter_round(End::finish, 600, 100, 100));
  p.machining.push_back(example::notch({{480, 0, 30}, {560, 100, 50}}, Face::side_high));
  const Machined made = machined(p, "piece");
  EXPECT_FALSE(closed_form(made));
  // ∫ of the quarter's lower edge q(p) = 100 − √(100² − (p − 500)²) over the housing, where it runs below the curve.
  const auto under = [](double u) { return 0.5 * (u * std::sqrt(1e4 - u * u) + 1e4 * std::asin(u / 100)); };
  const double timber = 20 * 100 + under(60);  // 480..500 full, 500..560 above the curve
  const double whole = (500 * 100 + kPi * 2500) * 50;
  EXPECT_NEAR(kernel_measures(kernel_shape(made)).volume_mm3, whole - timber * 20, 1e-6 * whole);
}

// A curved plate notched from another side in its straight part keeps its closed form.
TEST(Measures, HousingClearOfTheCurve) {
  Piece p = bar(600, 100, 50);
  p.machining.push_back(example::quarter_round(End::finish, 600, 100, 100));
  p.machining.push_back(example::notch({{200, 0, 30}, {280, 100, 50}}, Face::side_high));
  const Machined made = machined(p, "piece");
  const auto closed = closed_form(made);
  ASSERT_TRUE(closed);
  const double volume = (500 * 100 + kPi * 2500) * 50 - 80 * 100 * 20;
  EXPECT_NEAR(closed->volume_mm3, volume, 1e-9 * volume);
  const Measures kernel = kernel_measures(kernel_shape(made));
  EXPECT_NEAR(kernel.volume_mm3, volume, 1e-7 * volume);
  EXPECT_NEAR(norm(kernel.centre - closed->centre), 0, 1e-4);
}

// Law: wherever there is a closed form, the kernel agrees with it.
TEST(Measures, ClosedFormIsTheKernelsOnRandomMachining) {
  std::mt19937 random(3);
  const auto pick = [&](double low, double high) {
    return low + (high - low) * (static_cast<double>(random() % 1000) / 1000);
  };
  int closed_forms = 0;
  for (int round = 0; round < 60; ++round) {
    Piece p = bar(pick(400, 3000), pick(60, 200), pick(20, 60));
    const double l = p.length.value(), w = p.width.value(), t = p.thickness.value();
    if (random() % 2) p.machining.push_back(example::quarter_round(End::finish, l, w, w * pick(0.3, 1)));
    if (random() % 3 == 0) p.machining.push_back(EndCut{End::start, {pick(0, 50), 0, 0}, unit({-1, pick(-1, 1), 0})});
    for (unsigned k = random() % 4; k > 0; --k) {
      const double at = pick(150, l - 260), wide = pick(20, 60);
      if (random() % 2) {
        p.machining.push_back(example::notch({{at, w * pick(0.5, 0.9), 0}, {at + wide, w, t}}, Face::edge_high));
      } else {
        p.machining.push_back(example::notch({{at, 0, t * pick(0.5, 0.9)}, {at + wide, w, t}}, Face::side_high));
      }
    }
    if (random() % 2) {
      p.machining.push_back(Hole{Hole::Kind::bolt, {pick(100, l - 220), w * 0.25, 0}, {0, 0, 1}, 12, 0, true});
    }
    const Machined made = machined(p, "piece");
    const auto closed = closed_form(made);
    if (!closed) continue;
    ++closed_forms;
    const Measures kernel = kernel_measures(kernel_shape(made));
    EXPECT_NEAR(closed->volume_mm3, kernel.volume_mm3, 1e-6 * kernel.volume_mm3) << "round " << round;
    EXPECT_NEAR(norm(closed->centre - kernel.centre), 0, 1e-3) << "round " << round;
  }
  EXPECT_GT(closed_forms, 40);
}

}  // namespace
}  // namespace garthwright::solid
