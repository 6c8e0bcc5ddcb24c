// SPDX-License-Identifier: Apache-2.0
#include "structure/corner_parts.h"

#include <gtest/gtest.h>

#include "structure/connecting.h"
#include "structure/joinery.h"

namespace garthwright {
namespace {

using timber::FixingItem;
using timber::FixingKind;

/// A post 95 x 95, and a rail 45 x 70 that ends against its back face at 1000 mm, flush with its left.
struct RailAtPost {
  Structure s;
  PieceId post, rail;

  RailAtPost() {
    s.sections.push_back({});
    post = add("post", Way::up, Way::back, 2000, {0, 0, 0}, 95, 95);
    rail = add("rail", Way::back, Way::up, 600, {0, 95, 1000}, 70, 45);
    (void)*join(s, JointKind::butt, body(post), body(rail));
  }
  PieceId add(const char* name, Way runs, Way wide, double length, std::array<Traced, 3> low, double width,
              double thickness) {
    Placing p;
    p.name = name, p.section = {0}, p.length = length, p.width = width, p.thickness = thickness;
    p.runs = runs, p.wide = wide, p.low = low;
    return *place(s, p);
  }
};

FixingItem bracket(double leg, double width) {
  FixingItem item;
  item.name = "bracket", item.kind = FixingKind::angle_bracket, item.length_mm = leg, item.diameter_mm = 5;
  item.make.width_mm = width, item.make.pull_n = 1000, item.make.side_n = 1500;
  return item;
}

TEST(CornerParts, SitBesideARailFirst) {
  const RailAtPost at;
  const auto places = corner_places(at.s, at.s.joints[0], bracket(50, 40), 1);
  ASSERT_EQ(places.size(), 1u);
  EXPECT_EQ(places[0].fold, (Vec3{45, 95, 1035}));  // on the right: on the left the two are flush
  EXPECT_EQ(places[0].leg, (Vec3{1, 0, 0}));        // across the post
  EXPECT_EQ(places[0].next_leg, (Vec3{0, 1, 0}));   // along the rail
}

TEST(CornerParts, FindTheOtherCornersWhereOneIsFilled) {
  RailAtPost at;
  at.add("panel", Way::back, Way::right, 600, {0, 95, 900}, 45, 100);  // it fills the room below
  const auto places = corner_places(at.s, at.s.joints[0], bracket(45, 40), 3);
  ASSERT_EQ(places.size(), 2u);
  EXPECT_EQ(places[0].fold, (Vec3{45, 95, 1035}));
  EXPECT_EQ(places[1].fold, (Vec3{22.5, 95, 1070}));  // above it
}

TEST(CornerParts, TurnAwayFromANeighbourThatLeavesADriverNoRoom) {
  for (const double gap : {100.0, 130.0}) {
    RailAtPost at;
    Structure& s = at.s;
    s.pieces.clear(), s.joints.clear();
    const PieceId beam = at.add("beam", Way::right, Way::up, 2000, {0, 0, 0}, 145, 45);
    const PieceId before = at.add("rafter", Way::back, Way::up, 600, {700, 45, 40}, 95, 45);
    const PieceId rafter = at.add("rafter", Way::back, Way::up, 600, {745 + gap, 45, 40}, 95, 45);
    (void)*join(s, JointKind::butt, body(rafter), body(beam));
    (void)before;
    const auto places = corner_places(s, s.joints[0], bracket(50, 40), 1);
    ASSERT_EQ(places.size(), 1U);
    // The left side is the nearer to the middle of all.
    EXPECT_NEAR(places[0].fold.x, gap < 115 ? 745 + gap + 45 : 745 + gap, 1e-6) << gap;
  }
}

TEST(CornerParts, WantBothLegsOnTimber) {
  const RailAtPost at;
  EXPECT_EQ(corner_places(at.s, at.s.joints[0], bracket(60, 40), 3).size(), 2u);  // 50 mm of post beside the rail
  EXPECT_TRUE(corner_places(at.s, at.s.joints[0], bracket(60, 90), 3).empty());   // wider than the rail
}

TEST(Fasten, SetsABracketInItsCorner) {
  RailAtPost at;
  Fastening fastening;
  fastening.through = {body(at.post), body(at.rail)};
  fastening.wanted.kind = FixingKind::angle_bracket;
  const std::vector<FixingItem> sold{bracket(50, 40)};
  FixingsByBody set;
  ASSERT_TRUE(fasten(at.s, set, fastening, sold));
  ASSERT_EQ(at.s.fixings.size(), 1u);
  EXPECT_EQ(at.s.fixings[0].head, (Vec3{45, 95, 1035}));
  EXPECT_EQ(at.s.fixings[0].leg, (Vec3{1, 0, 0}));
  fastening.count = 9;
  EXPECT_EQ(fasten(at.s, set, fastening, sold).error().front().what,
            "9 × angle bracket between post and rail have 3 places with room");
}

TEST(Candidates, BeginWithTheWeakestThatIsStrongEnoughAndGoUp) {
  RailAtPost at;
  const auto screw = [](const char* name, double d, double length) {
    FixingItem item;
    item.name = name, item.kind = FixingKind::screw, item.diameter_mm = d, item.length_mm = length;
    return item;
  };
  const PieceId side = at.add("side", Way::back, Way::up, 300, {95, 0, 1200}, 120, 45);
  (void)*join(at.s, JointKind::face, body(side), body(at.post));
  const std::vector<FixingItem> sold{screw("screw 5x100", 5, 100), screw("screw 5x120", 5, 120),
                                     screw("screw 6x120", 6, 120), screw("screw 8x300", 8, 300)};
  ToConnect wish;
  wish.through = {body(side), body(at.post)};
  wish.kinds = {"screw"};
  wish.load_n = 700;  // 22 N/mm²: 550 N for 5 mm, 792 N for 6 mm
  wish.most = 2;
  FixingsByBody set;
  EXPECT_EQ(first_candidate(at.s, set, wish, sold).text, "1 x screw 6");
  EXPECT_EQ(candidates(wish, "1 x screw 6", sold),
            (std::vector<std::string>{"1 x screw 6", "2 x screw 5", "1 x screw 8", "2 x screw 6", "2 x screw 8",
                                      "1 x screw 5"}));
}

TEST(FixingText, IsANumberAndAName) {
  EXPECT_EQ(parse_fixing_text("2 x bolt M10x140").count, 2);
  EXPECT_EQ(parse_fixing_text("2 x bolt M10x140").item, "bolt M10x140");
  EXPECT_EQ(parse_fixing_text("bolt").count, 0);
  EXPECT_EQ(size_name("lag screw 3/8 x 4 in"), "lag screw 3/8");
  EXPECT_EQ(size_name("structural screw 8x160"), "structural screw 8");
}

}  // namespace
}  // namespace garthwright
