// SPDX-License-Identifier: Apache-2.0
#include "assembly/separation.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <limits>

#include "assembly/blocking.h"
#include "assembly/contacts.h"
#include "assembly/test_shapes.h"

namespace garthwright::assembly {
namespace {

using testing::box;
using testing::piece;
using testing::Random;

constexpr double kInfinity = std::numeric_limits<double>::infinity();

TEST(Clash, OfTwoBoxesByHand) {
  // A 10 mm cube flies towards another whose near face is 90 mm away.
  const auto s = clash(difference(box(0, 0, 0, 10, 10, 10), box(100, 0, 0, 110, 10, 10)), {}, {1, 0, 0}, 0);
  ASSERT_TRUE(s);
  EXPECT_DOUBLE_EQ(s->from, 90);
  EXPECT_DOUBLE_EQ(s->to, 110);
}

TEST(Clash, SlidingAlongAFaceIsNoClash) {
  EXPECT_FALSE(clash(difference(box(0, 0, 0, 10, 10, 10), box(100, 10, 0, 110, 20, 10)), {}, {1, 0, 0}, 0));
  EXPECT_FALSE(clash(difference(box(0, 0, 0, 10, 10, 10), box(100, 9.9995, 0, 110, 20, 10)), {}, {1, 0, 0}, kTouch));
  EXPECT_TRUE(clash(difference(box(0, 0, 0, 10, 10, 10), box(100, 9.99, 0, 110, 20, 10)), {}, {1, 0, 0}, kTouch));
}

Vec3 random_vector(Random& random, double size) {
  return {random.between(-size, size), random.between(-size, size), random.between(-size, size)};
}

/// Boxes square and askew, prisms, and hulls of random points.
ConvexPart random_part(Random& random) {
  while (true) {
    const Vec3 at = random_vector(random, 100);
    std::optional<ConvexPart> part;
    switch (random.below(4)) {
      case 0:
        part = make_box(at, at + Vec3{random.between(5, 80), random.between(5, 80), random.between(5, 80)});
        break;
      case 1:
        part = make_oblique_box(at, {random_vector(random, 60), random_vector(random, 60), random_vector(random, 60)});
        break;
      case 2:
        part = make_prism(random.below(3), at.x, at.x + random.between(5, 80),
                          {{at.y, at.z}, {at.y + random.between(10, 60), at.z - 5}, {at.y + 7, at.z + 50}});
        break;
      default: {
        std::vector<Vec3> points;
        for (int i = 0; i < 7; ++i) points.push_back(at + random_vector(random, 50));
        part = make_hull(points);
      }
    }
    if (part && volume(*part) > 500) return *part;
  }
}

/// Independent of the separating axes: is anything left of a when cut down to b?
double common_volume(const ConvexPart& a, const ConvexPart& b) {
  std::optional<ConvexPart> left = a;
  for (const Plane& p : b.planes) {
    left = clipped(*left, p);
    if (!left) return 0;
  }
  return volume(*left);
}

TEST(Clash, AgreesWithCuttingTheSolidsAtManyInstants) {
  Random random(7);
  int inside = 0, outside = 0;
  for (int round = 0; round < 1500; ++round) {
    const ConvexPart a = random_part(random), b = random_part(random);
    const Vec3 way = random_vector(random, 1);
    const auto s = clash(difference(a, b), {}, way, 0);
    for (int k = 0; k < 12; ++k) {
      const double t = random.between(-250, 250);
      const bool says = s && s->from < t && t < s->to;
      // Instants at the very edge of the stretch could go either way.
      if (s && std::min(std::abs(s->from - t), std::abs(s->to - t)) < 1e-3) continue;
      const bool overlaps = common_volume(shifted(a, t * way), b) > 0;
      ASSERT_EQ(says, overlaps) << "round " << round << " t " << t;
      (overlaps ? inside : outside)++;
    }
  }
  EXPECT_GT(inside, 500);
  EXPECT_GT(outside, 500);
}

TEST(Overlap, IsSymmetricAndAgreesWithTheClashAtRest) {
  Random random(8);
  for (int round = 0; round < 2000; ++round) {
    const ConvexPart a = random_part(random), b = random_part(random);
    EXPECT_EQ(overlap(a, b, kTouch), overlap(b, a, kTouch));
    const auto s = clash(difference(a, b), {}, {0, 0, 1}, kTouch);
    EXPECT_EQ(overlap(a, b, kTouch), s && s->from < 0 && s->to > 0);
  }
}

/// The table against one pair of parts and one way at a time.
TEST(BlockingTable, EqualsPairByPair) {
  Random random(9);
  for (int round = 0; round < 6; ++round) {
    Assembly a;
    a.site.ground = round % 2;
    for (int i = 0; i < 10; ++i) {
      std::vector<ConvexPart> parts;
      for (int k = 0; k < 3; ++k) parts.push_back(shifted(random_part(random), {0, 0, 150}));
      a.pieces.push_back(piece("p" + std::to_string(i), parts));
    }
    Ways ways = diagonal_ways();
    for (int k = 0; k < 5; ++k) add_way(ways, random_vector(random, 1));
    const Blocking blocking(a, ways);
    const auto runs_into = [&](const std::vector<ConvexPart>& moving, const std::vector<ConvexPart>& still, Vec3 way) {
      for (const ConvexPart& m : moving) {
        for (const ConvexPart& s : still) {
          const auto stretch = clash(difference(m, s), {}, way, a.touch);
          if (stretch && stretch->to > 0) return true;
        }
      }
      return false;
    };
    for (int w = 0; w < static_cast<int>(ways.size()); ++w) {
      EXPECT_EQ(ways[opposite(w)], -ways[w]);
      for (int i = 0; i < 10; ++i) {
        for (int j = 0; j < 10; ++j) {
          if (i == j) continue;
          ASSERT_EQ(blocking.hit(w, i).has(j), runs_into(a.pieces[i].parts, a.pieces[j].parts, ways[w]));
          ASSERT_EQ(blocking.hit(w, i).has(j), blocking.hit(opposite(w), j).has(i));
        }
        ASSERT_EQ(blocking.hits_site(w, i), runs_into(a.pieces[i].parts, solids_of(a.site), ways[w]));
      }
    }
  }
}

TEST(Contacts, HinderAStartInTheirHalfOfTheWays) {
  Assembly a;
  a.site.ground = true;
  a.pieces = {piece("post", {box(0, 0, 0, 90, 90, 900)}), piece("rail", {box(90, 0, 400, 600, 40, 500)})};
  const Contacts contacts(a);
  EXPECT_TRUE(contacts.touching(0).has(1));
  EXPECT_TRUE(contacts.hindering(0, {1, 0, 0}).has(1));
  EXPECT_TRUE(contacts.hindering(0, {1, 0, 1}).has(1));
  EXPECT_FALSE(contacts.hindering(0, {0, 0, 1}).has(1));
  EXPECT_TRUE(contacts.hindering(1, {-1, 0, 0}).has(0));
  EXPECT_TRUE(contacts.site_hinders(0, {0, 1, -1}));
  EXPECT_FALSE(contacts.site_hinders(0, {0, 1, 0}));
  EXPECT_TRUE(contacts.touches_site(0));
  EXPECT_FALSE(contacts.touches_site(1));
}

}  // namespace
}  // namespace garthwright::assembly
