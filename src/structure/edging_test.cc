// SPDX-License-Identifier: Apache-2.0
#include "structure/edging.h"

#include <gtest/gtest.h>

#include "structure/joinery.h"
#include "structure/laying.h"
#include "structure/polygon.h"

namespace garthwright {
namespace {

// A rafter 50 x 150 that rises 3 on 4, its underside from the origin to the back.
PieceId rafter(Structure& s) {
  Laying laying;
  laying.name = "rafter";
  laying.section = SectionId{0};
  laying.width = 150.0, laying.thickness = 50.0;
  laying.from = {0.0, 0.0, 0.0}, laying.to = {0.0, 4000.0, 3000.0};
  laying.ends = Laying::Ends::square;
  return *lay(s, laying);
}

// A plate 40 thick, its back 1040 from the origin, so high.
PieceId plate(Structure& s, double top, double from = -200, double length = 400) {
  return *place(
      s,
      {"plate", "", "", Role::beam, SectionId{0}, length, 100.0, 40.0, Way::right, Way::up, {from, 1000.0, top - 100}});
}

const Notch& cut_in(const Structure& s, PieceId id) { return std::get<Notch>(s[id].machining.front()); }

// The underside is 1040 x 3/4 = 780 up at the plate's back, and 40 x 3/4 = 30 lower at its front: seat 40, heel 30, and
// 50 along the slope between them. Depth 40 x 3/5 = 24, under a corner 40 x 40 / 50 = 32 before the seat's end. It
// begins 1000 x 5/4 = 1250 up the slope.
TEST(BirdsMouth, HasALevelSeatAndAPlumbHeel) {
  Structure s;
  const PieceId sloping = rafter(s), level = plate(s, 780);
  const Result<JointId> joint = birds_mouth(s, sloping, level);
  ASSERT_TRUE(joint) << joint.error().front().what;
  const Notch& notch = cut_in(s, sloping);
  EXPECT_EQ(notch.kind, Notch::Kind::birds_mouth);
  EXPECT_EQ(notch.opens_on, Face::edge_low);
  EXPECT_NEAR(notch.region.min.x, 1250, 1e-9);
  EXPECT_NEAR(notch.region.max.x, 1300, 1e-9);
  EXPECT_NEAR(notch.corner, 1300 - 32, 1e-9);
  EXPECT_NEAR(notch.deep.value(), 24, 1e-9);
  EXPECT_NEAR(notch.region.max.y, 24, 1e-9);
  EXPECT_NEAR(area(s[*joint].patch), 40 * 50, 1e-9);
  EXPECT_NEAR(s[*joint].normal.z, -1, 1e-12);
  EXPECT_NEAR(s[*joint].point.z, 780, 1e-9);
  EXPECT_TRUE(s[level].machining.empty());
}

TEST(BirdsMouth, OverTwoLengthsOfAPlateIsCutOnce) {
  Structure s;
  const PieceId sloping = rafter(s), left = plate(s, 780, -400, 410), right = plate(s, 780, 10, 400);
  const Result<JointId> one = birds_mouth(s, sloping, left), other = birds_mouth(s, sloping, right);
  ASSERT_TRUE(one && other);
  EXPECT_EQ(s[sloping].machining.size(), 1U);
  EXPECT_NEAR(area(s[*one].patch), 40 * 35, 1e-9);
  EXPECT_NEAR(area(s[*other].patch), 40 * 15, 1e-9);
}

TEST(BirdsMouth, RefusesAPlateThatIsNotUnderIt) {
  Structure s;
  const PieceId
      sloping = rafter(s),
      low = plate(s, 740), beside = plate(s, 780, 30),
      along = *place(
          s, {"tie", "", "", Role::beam, SectionId{0}, 400.0, 100.0, 40.0, Way::back, Way::up, {0.0, 1000.0, 680.0}});
  EXPECT_EQ(birds_mouth(s, sloping, low).error().front().what,
            "plate does not reach into the edge of rafter with one corner");
  EXPECT_EQ(birds_mouth(s, sloping, beside).error().front().what, "rafter does not come over plate");
  EXPECT_EQ(birds_mouth(s, sloping, along).error().front().what, "rafter does not cross tie square");
  EXPECT_TRUE(s[sloping].machining.empty());
}

PieceId bar(Structure& s) {
  return *place(s, {"bar", "", "", Role::brace, SectionId{0}, 600.0, 90.0, 45.0, Way::right, Way::up, {0.0, 0.0, 0.0}});
}

// Chord 600 - 2 x 100 = 400, 25 deep: radius 400² / (8 x 25) + 25 / 2 = 812.5.
TEST(Hollow, IsAnArcOverWhatIsLeftBetweenTheEnds) {
  Structure s;
  const PieceId piece = bar(s);
  ASSERT_TRUE(hollow(s, {piece, Way::down, 100.0, 25.0}));
  const Notch& arc = cut_in(s, piece);
  EXPECT_EQ(arc.kind, Notch::Kind::hollow);
  EXPECT_NEAR(arc.region.min.x, 100, 1e-9);
  EXPECT_NEAR(arc.region.max.x, 500, 1e-9);
  EXPECT_NEAR(radius_of(arc), 812.5, 1e-9);
}

TEST(Hollow, RefusesWhatWouldLeaveTooLittle) {  // a third of 90; 600 - 2 x 260 = 80 = 4 x 20
  Structure s;
  const PieceId piece = bar(s);
  EXPECT_EQ(hollow(s, {piece, Way::right, 100.0, 40.0}).error().front().what,
            "the right of bar is not one of its narrow edges");
  EXPECT_EQ(hollow(s, {piece, Way::down, 260.5, 20.0}).error().front().what,
            "held 260.5 mm off the ends of bar, 600 mm apart, no arc 20 mm deep has room");
  EXPECT_EQ(hollow(s, {piece, Way::down, 50.0, 30.5}).error().front().what,
            "an arc 30.5 mm deep takes more than a third of bar");
  EXPECT_EQ(hollow(s, {piece, Way::down, 50.0, 30.5}).error().front().cure, "give above 0 and at most 30 mm");
  EXPECT_TRUE(s[piece].machining.empty());
  EXPECT_TRUE(hollow(s, {piece, Way::down, 260.0, 20.0}));
  EXPECT_TRUE(hollow(s, {piece, Way::up, 50.0, 30.0}));
}

}  // namespace
}  // namespace garthwright
