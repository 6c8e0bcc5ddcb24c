// SPDX-License-Identifier: Apache-2.0
// Pergolas whose roof falls, whose braces are hollowed, and that turn a corner, as their sums say. Posts are 120 x 120,
// beams 45 x 195, rafters 45 x 120, braces 45 x 70; beams are let 16 into the posts' outer faces.
#include <gmock/gmock.h>

#include <cmath>

#include "pattern/patterns_for_tests.h"

namespace garthwright::pattern {
namespace {

using ::testing::HasSubstr;
using testing::Made;
using testing::make;

constexpr double kLength = 0.005;  // mm
constexpr double kTan10 = 0.176327, kCos10 = 0.984808, kSin10 = 0.173648;

const Notch& nth(const Piece& piece, Notch::Kind kind, std::size_t n = 0) {
  std::vector<const Notch*> found;
  for (const Machining& m : piece.machining)
    if (const Notch* notch = std::get_if<Notch>(&m); notch != nullptr && notch->kind == kind) found.push_back(notch);
  return *found.at(n);
}

const Notch& mouth(const Piece& piece, std::size_t n) { return nth(piece, Notch::Kind::birds_mouth, n); }

const EndCut& end_cut(const Piece& piece) {
  for (const Machining& m : piece.machining)
    if (const EndCut* cut = std::get_if<EndCut>(&m)) return *cut;
  throw std::runtime_error("no end is cut");
}

// The underside runs through the backs of both beams: 16 from the front and 2700 - 16 + 45 = 2729. The back beam is
// 2713 tan 10° = 478.38 higher; its posts, 2580 back, end 10 under the rafters: 2495 + (2580 - 16) tan 10° - 10 =
// 2937.10. Rafters reach 250 before the front beam (-29) and behind the back one: 3258 / cos 10° = 3308.26. The bird's
// mouths are 45 sin 10° = 7.81 deep and 45 / cos 10° = 45.69 long, the first 250 / cos 10° = 253.86 up the slope.
TEST(Pergola, RoofThatFallsToTheFront) {
  const Made it = make("pergola", "length = 3600\ndepth = 2700\nheight = 2300\nfall = 10");
  ASSERT_EQ(it.error, "");
  EXPECT_NEAR(it.box(it.one("beam", "front single")).min.z, 2300, kLength);
  EXPECT_NEAR(it.box(it.one("beam", "back single")).min.z, 2300 + 2713 * kTan10, kLength);
  EXPECT_NEAR(it.box(it.one("post", "back 1")).max.z, 2495 + 2564 * kTan10 - 10, kLength);
  const Piece& rafter = it.one("rafter", "number 1");
  EXPECT_NEAR(rafter.length.value(), 3258 / kCos10, kLength);
  EXPECT_NEAR(mouth(rafter, 0).region.size().y, 45 * kSin10, kLength);
  EXPECT_NEAR(mouth(rafter, 0).region.size().x, 45 / kCos10, kLength);
  EXPECT_NEAR(mouth(rafter, 0).region.min.x, 250 / kCos10, kLength);
  EXPECT_NEAR(mouth(rafter, 1).region.min.x - mouth(rafter, 0).region.min.x, 2713 / kCos10, kLength);
}

// From -279 to the wall at 2900 the underside runs 3179 / cos 10°; the upper corner reaches the wall 120 tan 10° later.
// The ledger's top is where the underside meets the wall: 2495 + (2900 - 16) tan 10° = 3003.53.
TEST(Pergola, RoofThatFallsFromAWall) {
  const Made it = make("pergola", "against = 'wall'\nlength = 3600\ndepth = 2900\nheight = 2300\nfall = 10");
  ASSERT_EQ(it.error, "");
  const Piece& rafter = it.one("rafter", "number 1");
  EXPECT_NEAR(rafter.length.value(), 3179 / kCos10 + 120 * kTan10, kLength);
  EXPECT_NEAR(it.box(*it.all("ledger").front()).max.z, 2495 + 2884 * kTan10, kLength);
  const EndCut& plumb = end_cut(rafter);
  EXPECT_NEAR(rafter.frame.to_world(plumb.point).y, 2900, kLength);
  EXPECT_NEAR(rafter.frame.direction_to_world(plumb.normal).y, 1, 1e-12);
}

// 30 further off at the ledger, whose top is 2495 up: the level rafter is 30 longer, and 195 x 30 / 2495 = 2.3 are
// packed.
TEST(Pergola, WallOutOfPlumb) {
  const std::string choices = "against = 'wall'\nlength = 3600\ndepth = 2900";
  const Made plumb = make("pergola", choices), it = make("pergola", choices + "\nwall_out = 30");
  ASSERT_EQ(it.error, "");
  EXPECT_NEAR(it.length("rafter"), plumb.length("rafter") + 30, kLength);
  EXPECT_NEAR(it.box(*it.all("ledger").front()).max.y, 2930, kLength);
  EXPECT_TRUE(it.says("the wall leans 30 mm over 2495 mm, which is 2.3 mm over the ledger's own depth"))
      << to_string(it.remarks.front());
}

// 45 sin 30° = 22.5 is within a quarter of 70 no more (17.5).
// Beams of 45 x 195 are sold up to 6.0 m, and 6.4 m are wanted: two lengths on either side, joined beside a post by a
// fish plate that leaves the post's own screw free and stays below the rafters.
TEST(Pergola, LongBeamsAreJointedBesideAPostByFishPlates) {
  const Made it = make("pergola", "length = 6000\ndepth = 2700");
  ASSERT_EQ(it.error, "");
  ASSERT_EQ(it.count("fish plate"), 2);
  EXPECT_EQ(it.count("beam"), 4);
  for (const Piece* plate : it.all("fish plate")) {
    const Box box = it.box(*plate);
    for (const Piece* post : it.all("post"))
      EXPECT_TRUE(box.max.x < it.box(*post).min.x || box.min.x > it.box(*post).max.x);
    for (const Piece* rafter : it.all("rafter")) EXPECT_LT(box.max.z, it.box(*rafter).min.z);
    const double joint = box.centre().x;
    for (const Piece* rafter : it.all("rafter"))
      EXPECT_TRUE(joint < it.box(*rafter).min.x - 29 || joint > it.box(*rafter).max.x + 29);
  }
  EXPECT_GE(it.fixings("fish plate", "beam") + it.fixings("beam", "fish plate"), 2 * 2 * 2);
  EXPECT_EQ(make("pergola", "length = 4800\ndepth = 2700").count("fish plate"), 0);
}

// Rafters up to 2800 deep are the usual ones, 600 apart at most; longer ones are deeper, and 750 apart.
TEST(Pergola, LongRaftersAreDeeperAndFartherApart) {
  const Made usual = make("pergola", "length = 4200\ndepth = 2700"),
             deep = make("pergola", "length = 4200\ndepth = 3000");
  EXPECT_EQ(usual.one("rafter", "number 1").width.value(), 120);
  EXPECT_EQ(deep.one("rafter", "number 1").width.value(), 145);
  EXPECT_EQ(usual.count("rafter"), 8);
  EXPECT_EQ(deep.count("rafter"), 7);
}

TEST(Pergola, RefusesBirdsMouthsThatWouldTakeTooMuch) {
  EXPECT_THAT(make("pergola", "length = 3600\ndepth = 2700\nheight = 2000\nfall = 30\nrafter = '3x2'").error,
              HasSubstr("bird's mouths over 45 mm of beam would be 22.5 mm deep, more than a quarter of the rafters"));
}

// Long edge 600 √2 = 848.53, held off 70 at each end: a chord of 708.53; 20 deep, so its radius is
// 708.53² / 160 + 10 = 3147.6.
TEST(Pergola, BracesWithAHollowedEdge) {
  const Made it = make("pergola", "length = 3600\ndepth = 2700\nbrace_leg = 600\nbrace_hollow = 20\nbrace_hold = 70");
  ASSERT_EQ(it.error, "");
  for (const Piece* piece : it.all("brace")) {
    const Notch& arc = nth(*piece, Notch::Kind::hollow);
    EXPECT_NEAR(arc.region.min.x, 70, kLength);
    EXPECT_NEAR(arc.region.size().x, 600 * std::sqrt(2.0) - 140, kLength);
    EXPECT_NEAR(radius_of(arc), 3147.6, 0.1);
    // The edge that looks down into the bay, away from the corner.
    EXPECT_LT(piece->frame.direction_to_world(outward(arc.opens_on)).z, -0.7);
  }
  EXPECT_THAT(make("pergola", "length = 3600\ndepth = 2700\nbrace_leg = 600\nbrace_hollow = 30").error,
              HasSubstr("job.toml:12:16: error: an arc 30 mm deep takes more than a third of front 1 right brace"));
  EXPECT_THAT(
      make("pergola", "length = 3600\ndepth = 2700\nbrace_leg = 600\nbrace_hollow = 20\nbrace_hold = 400").error,
      HasSubstr("no arc 20 mm deep has room"));
}

// The back beam's back is at 2729. The wing's beams begin 10 behind it and run to 2729 + 2400 + 200: 2590. Its rafters
// reach 250 beyond beams 16 - 45 = -29 and 2700 - 16 + 45 = 2729 out: 3258.
TEST(Pergola, WingMakesACorner) {
  const Made it = make("pergola", "length = 3600\ndepth = 2700\nwing = 2400");
  ASSERT_EQ(it.error, "");
  EXPECT_EQ(it.count("post"), 2 * 3 + 2 * 3);
  const Piece& left = it.one("beam", "wing left");
  EXPECT_NEAR(left.length.value(), 2590, kLength);
  EXPECT_NEAR(it.box(left).min.y, 2739, kLength);
  EXPECT_NEAR(it.box(left).min.x, -29, kLength);
  EXPECT_NEAR(it.box(it.one("beam", "wing right")).max.x, 2729, kLength);
  EXPECT_NEAR(it.one("rafter", "wing 1").length.value(), 3258, kLength);
  EXPECT_THAT(make("pergola", "length = 3600\ndepth = 2700\nwing = 2400\nfall = 8").error,
              HasSubstr("the wing's rafters lie level"));
  EXPECT_THAT(make("pergola", "length = 3600\ndepth = 2700\nwing = 2400\nwing_width = 4000").error,
              HasSubstr("the wing is wider than the run that it goes off"));
}

}  // namespace
}  // namespace garthwright::pattern
