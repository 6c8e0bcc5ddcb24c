// SPDX-License-Identifier: Apache-2.0
#include "structure/fixing_layout.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "structure/joinery.h"
#include "structure/touch.h"

namespace garthwright {
namespace {

/// A post, and a beam on its side that ends flush with the post's head: a patch of 95 x `beam`.
struct Head {
  Structure s;
  PieceId post, beam;
  explicit Head(double beam_width) {
    for (int i = 0; i < 2; ++i) s.sections.emplace_back();
    Placing p;
    p.name = "post", p.section = {0}, p.runs = Way::up, p.wide = Way::right;
    p.length = 2000, p.width = 95, p.thickness = 95, p.low = {0, 0, 0};
    post = *place(s, p);
    p.name = "beam", p.section = {1}, p.runs = Way::right, p.wide = Way::up;
    p.length = 3000, p.width = beam_width, p.thickness = 45, p.low = {-1500, -45, 2000 - beam_width};
    beam = *place(s, p);
    if (!join(s, JointKind::face, body(beam), body(post))) throw std::runtime_error("not joined");
  }
  std::vector<Vec3> two(const timber::FixingItem& item) const {
    FixingsByBody set;
    return lay_out(s, set, {body(beam), body(post)}, s.joints[0].patch, {0, 1, 0}, 2, 0, room_of(item)).places;
  }
};

timber::FixingItem item(timber::FixingKind kind, double d, double pilot) {
  timber::FixingItem i;
  i.kind = kind, i.diameter_mm = d, i.pilot_mm = pilot;
  i.make.root_mm = 0.65 * d;
  return i;
}

// Figures of EN 1995-1-1 Tables 8.2 and 8.4, loaded ends and edges.
TEST(RoomOf, IsWhatTheTablesWant) {
  const Room screw = room_of(item(timber::FixingKind::screw, 6, 3.5));
  EXPECT_EQ(screw.end, 72);
  EXPECT_EQ(screw.edge, 42);
  EXPECT_EQ(room_of(item(timber::FixingKind::nail, 4, 0)).end, 60);
  EXPECT_EQ(room_of(item(timber::FixingKind::bolt, 10, 0)).end, 80);  // 7 d is less
  EXPECT_EQ(room_of(item(timber::FixingKind::bolt, 12, 0)).end, 84);
  EXPECT_EQ(room_of(item(timber::FixingKind::bolt, 10, 0)).edge, 40);
}

TEST(LayOut, KeepsTheUsualPlacesWhereTheyHaveRoom) {
  const Head h(195);
  const auto at = h.two(item(timber::FixingKind::screw, 2, 1.2));  // wants 24 mm from a loaded end
  ASSERT_EQ(at.size(), 2U);
  EXPECT_NEAR(std::abs(at[0].z - at[1].z), 195 - 50, 1e-6);  // 25 mm from either edge of the patch
}

TEST(LayOut, ComesAwayFromAPostsHead) {
  const Head h(95);
  const auto at = h.two(item(timber::FixingKind::screw, 6, 3.5));
  for (const Vec3& p : at) {
    EXPECT_GT(2000 - p.z, 40);  // 25 in the usual places, 72 wanted for a loaded end
    EXPECT_GT(p.z - 1905, 20);  // and the beam's lower edge keeps its own
    EXPECT_GT(std::min(p.x, 95 - p.x), 15);
  }
  EXPECT_GT(norm(at[0] - at[1]), 20);
}

// Those set since are taken in, and only those of its own timbers are kept clear of.
TEST(LayOut, KeepsClearOfWhatIsInItsTimbers) {
  Head h(195);
  FixingsByBody set;
  const timber::FixingItem screw = item(timber::FixingKind::screw, 2, 1.2);
  const auto places = [&] {
    return lay_out(h.s, set, {body(h.beam), body(h.post)}, h.s.joints[0].patch, {0, 1, 0}, 1, 0, room_of(screw)).places;
  };
  const Vec3 alone = places().at(0);
  Fixing there;
  there.head = alone, there.direction = {0, 1, 0}, there.length = 100, there.diameter = 2;
  there.through = {Body{Body::Kind::piece, 7}};
  h.s.fixings.push_back(there);
  EXPECT_EQ(places().at(0), alone);
  there.through = {body(h.post)};
  h.s.fixings.push_back(there);
  EXPECT_GT(norm(places().at(0) - alone), 5);
  EXPECT_EQ(set.of(h.s, body(h.post)), std::vector<int>{1});
}

TEST(LayOut, IsTheSameForTheSame) {
  const Head h(145);
  const auto a = h.two(item(timber::FixingKind::bolt, 10, 0)), b = h.two(item(timber::FixingKind::bolt, 10, 0));
  EXPECT_EQ(a, b);
}

}  // namespace
}  // namespace garthwright
