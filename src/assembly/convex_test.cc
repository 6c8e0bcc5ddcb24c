// SPDX-License-Identifier: Apache-2.0
#include "assembly/convex.h"

#include <gtest/gtest.h>

#include "assembly/test_shapes.h"

namespace garthwright::assembly {
namespace {

using testing::box;
using testing::piece;
using testing::Random;

double total_volume(const std::vector<ConvexPart>& parts) {
  double sum = 0;
  for (const ConvexPart& part : parts) sum += volume(part);
  return sum;
}

TEST(Box, HasItsVolumeAndMiddle) {
  const ConvexPart b = box(1, 2, 3, 4, 7, 10);
  EXPECT_DOUBLE_EQ(volume(b), 3 * 5 * 7);
  EXPECT_NEAR(norm(centroid(b) - Vec3{2.5, 4.5, 6.5}), 0, 1e-12);
  EXPECT_TRUE(b.is_aligned_box);
  EXPECT_FALSE(make_box({0, 0, 0}, {1, 0, 1}));
}

TEST(Prism, FacesOutwardsAboutEveryAxisAndEitherSense) {
  for (int axis = 0; axis < 3; ++axis) {
    for (bool clockwise : {false, true}) {
      std::vector<std::array<double, 2>> triangle{{0, 0}, {60, 0}, {0, 30}};
      if (clockwise) std::swap(triangle[1], triangle[2]);
      const auto p = make_prism(axis, 10, 30, triangle);
      ASSERT_TRUE(p) << axis;
      EXPECT_NEAR(volume(*p), 60 * 30 / 2 * 20, 1e-9);
      const Vec3 middle = centroid(*p);
      for (const Plane& plane : p->planes) EXPECT_LT(dot(plane.normal, middle), plane.offset);
      EXPECT_NEAR(middle[axis], 20, 1e-12);
      EXPECT_NEAR(middle[axis == 0 ? 1 : 0], 20, 1e-12);
      EXPECT_NEAR(middle[axis == 2 ? 1 : 2], 10, 1e-12);
    }
  }
}

TEST(Prism, OfASquareIsABox) { EXPECT_TRUE(make_prism(1, 0, 5, {{0, 0}, {4, 0}, {4, 4}, {0, 4}})->is_aligned_box); }

TEST(Prism, DropsStraightCornersAndRefusesHollowOnes) {
  EXPECT_EQ(make_prism(2, 0, 1, {{0, 0}, {2, 0}, {4, 0}, {4, 4}, {0, 4}})->faces.size(), 6u);
  EXPECT_FALSE(make_prism(2, 0, 1, {{0, 0}, {9, 0}, {1, 1}, {0, 9}}));
  EXPECT_FALSE(make_prism(2, 0, 1, {{0, 0}, {4, 4}, {4, 0}, {0, 4}})) << "crosses itself";
  EXPECT_FALSE(make_prism(2, 0, 1, {{0, 0}, {4, 0}, {8, 0}})) << "flat";
}

TEST(Hull, OfTheCornersIsTheSolid) {
  const ConvexPart b = box(0, 0, 0, 10, 20, 30);
  std::vector<Vec3> points = b.vertices;
  points.push_back({5, 5, 5});   // inside
  points.push_back({5, 0, 15});  // on a face
  const auto h = make_hull(points);
  ASSERT_TRUE(h);
  EXPECT_EQ(h->vertices.size(), 8u);
  EXPECT_EQ(h->faces.size(), 6u);
  EXPECT_NEAR(volume(*h), 6000, 1e-9);
}

TEST(Clipped, TheTwoSidesAddUp) {
  Random random(3);
  for (int round = 0; round < 300; ++round) {
    std::vector<Vec3> points;
    for (int i = 0; i < 8; ++i) {
      points.push_back({random.between(0, 100), random.between(0, 100), random.between(0, 100)});
    }
    const auto solid = make_hull(points);
    ASSERT_TRUE(solid);
    const Vec3 n = unit({random.between(-1, 1), random.between(-1, 1), random.between(-1, 1)});
    const double offset = dot(n, centroid(*solid)) + random.between(-20, 20);
    const auto below = clipped(*solid, {n, offset}), above = clipped(*solid, {-n, -offset});
    const double sum = (below ? volume(*below) : 0) + (above ? volume(*above) : 0);
    EXPECT_NEAR(sum, volume(*solid), 1e-6 * volume(*solid));
  }
}

TEST(WithoutOverlaps, CountsSharedVolumeOnce) {
  // Two laths crossing: the square in the middle counts once.
  EXPECT_NEAR(total_volume(without_overlaps({box(0, 40, 0, 100, 60, 10), box(40, 0, 0, 60, 100, 10)})),
              2 * 20000 - 4000, 1e-6);
  EXPECT_NEAR(total_volume(without_overlaps({box(0, 0, 0, 10, 10, 10), box(2, 2, 2, 4, 4, 4)})), 1000, 1e-9);
  EXPECT_NEAR(mass(piece("cross", {box(0, 40, 0, 100, 60, 10), box(40, 0, 0, 60, 100, 10)})), 36000e-9 * 480, 1e-12);
}

TEST(WithoutOverlaps, AgreesWithCountingRandomPoints) {
  Random random(4);
  std::vector<ConvexPart> parts;
  for (int i = 0; i < 5; ++i) {
    std::vector<Vec3> points;
    for (int k = 0; k < 8; ++k) points.push_back({random.between(0, 10), random.between(0, 10), random.between(0, 10)});
    parts.push_back(*make_hull(points));
  }
  const int samples = 200000;
  int inside = 0;
  for (int s = 0; s < samples; ++s) {
    const Vec3 p{random.between(0, 10), random.between(0, 10), random.between(0, 10)};
    for (const ConvexPart& part : parts) {
      bool in = true;
      for (const Plane& plane : part.planes) in &= dot(plane.normal, p) < plane.offset;
      if (in) {
        ++inside;
        break;
      }
    }
  }
  EXPECT_NEAR(total_volume(without_overlaps(parts)), 1000.0 * inside / samples, 6);  // four standard errors
}

}  // namespace
}  // namespace garthwright::assembly
