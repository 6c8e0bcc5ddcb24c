// SPDX-License-Identifier: Apache-2.0
#include "structure/absorbing.h"

#include <gtest/gtest.h>

#include "structure/joinery.h"
#include "structure/touch.h"

namespace garthwright {
namespace {

PieceId post(Structure& s, const char* where, double x, double high) {
  return *place(s,
                {"post", where, "", Role::post, SectionId{0}, high, 100.0, 100.0, Way::up, Way::back, {x, 0.0, 0.0}});
}

timber::Section section(const char* name) {
  timber::Section s;
  s.name = name;
  return s;
}

// The host's post stands at 2000, 1000 in the garden. The guest is turned a quarter to the left and set so that its own
// left post is in that place; its rail then runs to the back of the garden, from the post's back face.
TEST(Absorbing, PutsTheGuestWhereItStandsAndLeavesOutWhatIsShared) {
  Structure host, guest;
  host.at = {2000, 1000, 0};
  host.sections = {section("4x4")};
  const PieceId real = post(host, "only", 0, 2000);
  host.connections.push_back({"cap to post", {}, {}, false});

  guest.name = "fence";
  guest.at = {2100, 1000, 0}, guest.turn_deg = 90;
  guest.sections = {section("4x2"), section("4x4")};
  const PieceId lent = post(guest, "left", 0, 2000);
  const PieceId far = post(guest, "right", 1000, 1200);
  guest[far].section = SectionId{1};
  const Result<PieceId> rail = butt_between(
      guest, {"rail", "", "bay", Role::rail, SectionId{0}, 0.0, 90.0, 40.0, Way::right, Way::up, {0.0, 30.0, 500.0}},
      body(lent), body(far));
  ASSERT_TRUE(rail);
  guest.connections.push_back({"rail to post", {}, {}, false});
  Fixing bracket;
  bracket.through = {body(lent), body(*rail)};
  bracket.head = {100, 50, 590}, bracket.direction = {1, 0, 0}, bracket.leg = {0, 0, 1};
  bracket.connection = 0;
  guest.fixings.push_back(bracket);
  guest[lent].machining.emplace_back(Hole{Hole::Kind::bolt, {545, 50, 0}, {0, 0, 1}, 10, 0, true});

  const Piece seen = seen_from(guest, host, real);
  EXPECT_EQ(world_box(seen.frame, seen.blank()), world_box(guest, body(lent)));

  const std::vector<PieceId> here = absorb(host, guest, {{lent, real}});
  ASSERT_EQ(host.pieces.size(), 3U);  // the post once
  EXPECT_EQ(here[0], real);
  const Box box = world_box(host, body(here[static_cast<std::size_t>(rail->index)]));
  EXPECT_EQ(box, (Box{{30, 100, 500}, {70, 1000, 590}}));  // in the host's coordinates: from its post's back face
  const Piece& moved = host[here[static_cast<std::size_t>(rail->index)]];
  EXPECT_EQ(moved.where, "fence");
  EXPECT_EQ(moved.group, "fence bay");
  EXPECT_EQ(host[moved.section].name, "4x2");
  for (std::size_t i = 0; i < 3; ++i) EXPECT_NEAR(moved.corner[i].value(), box.min[static_cast<int>(i)], 1e-9);
  ASSERT_TRUE(touch(host, body(real), body(here[static_cast<std::size_t>(rail->index)])));

  ASSERT_EQ(host.fixings.size(), 1U);
  EXPECT_EQ(host.fixings[0].through[0], body(real));
  EXPECT_EQ(host.fixings[0].direction, (Vec3{0, 1, 0}));
  EXPECT_EQ(host.fixings[0].leg, (Vec3{0, 0, 1}));
  EXPECT_EQ(host.fixings[0].connection, 1);
  EXPECT_EQ(host.connections[1].name, "fence rail to post");
  ASSERT_EQ(host[real].machining.size(), 1U);  // what the guest drilled
  EXPECT_EQ(host.joints.size(), 2U);
}

TEST(Absorbing, WantsQuarterTurns) {
  Structure a, b;
  a.turn_deg = 30, b.turn_deg = -60;
  EXPECT_TRUE(are_square(a, b));
  b.turn_deg = 0;
  EXPECT_FALSE(are_square(a, b));
}

}  // namespace
}  // namespace garthwright
