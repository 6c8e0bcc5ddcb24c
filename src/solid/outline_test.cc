// SPDX-License-Identifier: Apache-2.0
#include "solid/outline.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace garthwright::solid {
namespace {

constexpr double kPi = std::numbers::pi;

OutlineEdge line(Point2 from, Point2 to) { return {OutlineEdge::Kind::line, from, to, {}, 0, 0, 0, {}, {}}; }

OutlineEdge arc(Point2 centre, double radius, double from, double to) {
  OutlineEdge e{OutlineEdge::Kind::arc, {}, {}, centre, radius, from, to, {}, {}};
  e.from = point_at(e, 0);
  e.to = point_at(e, 1);
  return e;
}

// Half a disc: area πr²/2, centroid 4r/3π above its diameter (any table of areas).
TEST(OutlineMoments, HalfDisc) {
  const double r = 40;
  const Loop half{arc({100, 20}, r, 0, kPi), line({100 - r, 20}, {100 + r, 20})};
  const AreaMoments m = moments(half);
  EXPECT_NEAR(m.area, kPi * r * r / 2, 1e-9);
  EXPECT_NEAR(m.first_p / m.area, 100, 1e-10);
  EXPECT_NEAR(m.first_q / m.area, 20 + 4 * r / (3 * kPi), 1e-10);
}

// Under the parabola q = 3 p² from 0 to 2, as a cubic Bézier: area 8, centroid (3/2, 3·4·3/10) by ∫.
TEST(OutlineMoments, ParabolaAsCubic) {
  OutlineEdge curve{OutlineEdge::Kind::cubic, {2, 12}, {0, 0}, {}, 0, 0, 0, {}, {}};
  // The parabola's one quadratic handle is (1, 0); raised to a cubic it gives these two.
  curve.handle1 = {2 + (1 - 2) * 2.0 / 3, 12 + (0 - 12) * 2.0 / 3};
  curve.handle2 = {2.0 / 3, 0};
  const Loop under{line({0, 0}, {2, 0}), line({2, 0}, {2, 12}), curve};
  const AreaMoments m = moments(under);
  EXPECT_NEAR(m.area, 8, 1e-12);
  EXPECT_NEAR(m.first_p / m.area, 1.5, 1e-12);
  EXPECT_NEAR(m.first_q / m.area, 3.6, 1e-12);
}

TEST(OutlineSampling, StaysWithinTheChord) {
  const OutlineEdge e = arc({0, 0}, 70, 0, kPi / 2);
  const auto points = sampled(e, 0.05);
  for (std::size_t k = 0; k + 1 < points.size(); ++k) {
    EXPECT_GT(norm(0.5 * (points[k] + points[k + 1])), 70 - 0.05);
  }
  EXPECT_LT(points.size(), 25U);
}

}  // namespace
}  // namespace garthwright::solid
