// SPDX-License-Identifier: Apache-2.0
#include "solid/convex_parts.h"

#include <gtest/gtest.h>

#include <cmath>

#include "solid/machined.h"

namespace garthwright::solid {
namespace {

const Box kCube{{0, 0, 0}, {10, 10, 10}};

TEST(ConvexPart, BoxHasItsVolumeAndCentre) {
  const ConvexPart part = box_part({{1, 2, 3}, {4, 6, 8}});
  EXPECT_DOUBLE_EQ(volume(part), 60);
  EXPECT_NEAR(norm((1 / 60.0) * first_moment(part) - Vec3{2.5, 4, 5.5}), 0, 1e-12);
  EXPECT_EQ(part.edge_axes.size(), 3U);
}

TEST(ConvexPart, CornerCutOff) {
  const double r = 1 / std::sqrt(3.0);
  const Plane plane{{r, r, r}, 27 * r};  // x + y + z <= 27 leaves off a corner of edge 3: volume 27/6
  const auto rest = clipped(box_part(kCube), plane);
  ASSERT_TRUE(rest);
  EXPECT_NEAR(volume(*rest), 1000 - 4.5, 1e-9);
  EXPECT_EQ(rest->faces.size(), 7U);
  const auto corner = clipped(box_part(kCube), {-plane.normal, -plane.offset});
  ASSERT_TRUE(corner);
  EXPECT_NEAR(volume(*corner), 4.5, 1e-9);
  EXPECT_EQ(corner->vertices.size(), 4U);
}

TEST(ConvexPart, CutAlongADiagonalThroughItsEdges) {
  const double r = std::sqrt(0.5);
  const auto half = clipped(box_part(kCube), {{r, -r, 0}, 0});
  ASSERT_TRUE(half);
  EXPECT_NEAR(volume(*half), 500, 1e-9);
  EXPECT_EQ(half->faces.size(), 5U);
  EXPECT_EQ(half->vertices.size(), 6U);
}

TEST(ConvexPart, WithoutABoxLosesWhatTheyShare) {
  const auto rest = without(box_part(kCube), planes_of({{3, 4, 5}, {7, 20, 20}}));
  double sum = 0;
  for (const ConvexPart& part : rest) sum += volume(part);
  EXPECT_NEAR(sum, 1000 - 4 * 6 * 5, 1e-9);
  EXPECT_EQ(count_bodies(rest), 1);
  EXPECT_EQ(without(box_part(kCube), planes_of({{10, 0, 0}, {20, 10, 10}})).size(), 1U);
}

TEST(Penetration, OfBoxesAndOfEdgesAcross) {
  EXPECT_NEAR(penetration(box_part(kCube), box_part({{9.5, 3, 3}, {20, 5, 5}}), 0.01), 0.5, 1e-12);
  EXPECT_LE(penetration(box_part(kCube), box_part({{12, 3, 3}, {20, 5, 5}}), 0.01), -2 + 1e-12);
  // Two long bars turned 45° about their own axes, crossing at right angles edge over edge: only a product of edges
  // tells them apart. Each is 10√2 across its corners, their axes 15 apart.
  const double r = std::sqrt(0.5);
  const ConvexPart bar = box_part({{-50, -5, -5}, {50, 5, 5}});
  const ConvexPart a = placed(bar, {{0, 0, 0}, {1, 0, 0}, {0, r, r}, {0, -r, r}});
  const ConvexPart b = placed(bar, {{0, 0, 15}, {0, 1, 0}, {r, 0, r}, {r, 0, -r}});
  EXPECT_NEAR(penetration(a, b, 0.01), 10 * std::sqrt(2.0) - 15, 1e-9);
}

TEST(FaceOverlap, CommonPartOfTwoFacesAndItsCentre) {
  const ConvexPart a = box_part(kCube), b = box_part({{10, 6, -5}, {20, 30, 4}});
  double area = 0;
  Vec3 moment;
  for (int f = 0; f < 6; ++f) {
    for (int g = 0; g < 6; ++g) {
      if (const auto o = face_overlap(a, f, b, g, 0.01)) {
        area += o->area;
        moment = moment + o->moment;
      }
    }
  }
  EXPECT_NEAR(area, 4 * 4, 1e-12);
  EXPECT_NEAR(norm((1 / area) * moment - Vec3{10, 8, 2}), 0, 1e-12);
}

TEST(Bodies, AreCountedByTheFacesTheyShare) {
  EXPECT_EQ(count_bodies({box_part(kCube), box_part({{10, 0, 0}, {12, 1, 1}})}), 1);
  EXPECT_EQ(count_bodies({box_part(kCube), box_part({{10, 10, 0}, {12, 12, 1}})}), 2) << "an edge does not hold";
}

}  // namespace
}  // namespace garthwright::solid
