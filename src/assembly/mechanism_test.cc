// SPDX-License-Identifier: Apache-2.0
#include "assembly/mechanism.h"

#include <gtest/gtest.h>

#include <cmath>

#include "assembly/test_shapes.h"

namespace garthwright::assembly {
namespace {

using testing::Random;

PinFrame portal(bool diagonal) {
  PinFrame f{2, {{0, 0, 0}, {1000, 0, 0}, {0, 2000, 0}, {1000, 2000, 0}}, {{0, 2}, {1, 3}, {2, 3}}, {0, 1}};
  if (diagonal) f.bars.push_back({0, 3});
  return f;
}

TEST(Mechanism, APortalSwaysUntilItsDiagonalIsIn) {
  EXPECT_EQ(mechanism_count(portal(false)), 1);
  EXPECT_EQ(mechanism_count(portal(true)), 0);
}

TEST(Mechanism, RigidMovementsOfALooseFrameDoNotCount) {
  PinFrame f = portal(true);
  f.held = {};
  f.bars.push_back({0, 1});
  EXPECT_EQ(mechanism_count(f), 0);
  EXPECT_EQ(mechanism_count({3, {{0, 0, 0}, {1, 0, 0}}, {{0, 1}}, {}}), 0) << "a bar alone: five movements, all rigid";
  EXPECT_EQ(mechanism_count({2, {{0, 0, 0}, {1, 0, 0}, {5, 5, 0}, {6, 5, 0}}, {{0, 1}, {2, 3}}, {}}), 3)
      << "two loose bars in the plane: 8 - 2 - 3";
}

/// Cauchy and Dehn: convex polyhedra with triangular faces are rigid (Dehn 1916); the cube is not (12 bars, 24 - 6 =
/// 18).
TEST(Mechanism, KnownPolyhedra) {
  const PinFrame octahedron{
      3,
      {{1, 0, 0}, {-1, 0, 0}, {0, 1, 0}, {0, -1, 0}, {0, 0, 1}, {0, 0, -1}},
      {{0, 2}, {0, 3}, {0, 4}, {0, 5}, {1, 2}, {1, 3}, {1, 4}, {1, 5}, {2, 4}, {2, 5}, {3, 4}, {3, 5}},
      {}};
  EXPECT_EQ(mechanism_count(octahedron), 0);
  PinFrame cube{3, {}, {}, {}};
  for (int i = 0; i < 8; ++i) cube.nodes.push_back({1.0 * (i & 1), 1.0 * (i >> 1 & 1), 1.0 * (i >> 2 & 1)});
  for (int i = 0; i < 8; ++i) {
    for (int bit : {1, 2, 4}) {
      if (!(i & bit)) cube.bars.push_back({i, i | bit});
    }
  }
  EXPECT_EQ(mechanism_count(cube), 6);
}

TEST(Mechanism, ABarOfItsOwnLineStillMovesALittle) {
  // Two bars in one line between held ends: the middle node moves at right angles, infinitesimally (Maxwell's
  // exception).
  EXPECT_EQ(mechanism_count({2, {{0, 0, 0}, {1, 0, 0}, {2, 0, 0}}, {{0, 1}, {1, 2}}, {0, 2}}), 1);
}

TEST(Mechanism, TurningAndRoundingToAMicrometreChangesNothing) {
  Random random(11);
  for (int round = 0; round < 50; ++round) {
    const double a = random.between(0, 6.28), c = std::cos(a), s = std::sin(a);
    for (bool diagonal : {false, true}) {
      PinFrame f = portal(diagonal);
      for (Vec3& p : f.nodes) {
        p = {std::round((c * p.x - s * p.y + 123) * 1e3) / 1e3, std::round((s * p.x + c * p.y) * 1e3) / 1e3, 0};
      }
      EXPECT_EQ(mechanism_count(f), diagonal ? 0 : 1);
      f.held = {};
      f.bars.push_back({0, 1});
      EXPECT_EQ(mechanism_count(f), diagonal ? 0 : 1);
    }
  }
}

}  // namespace
}  // namespace garthwright::assembly
