// SPDX-License-Identifier: Apache-2.0
// Beds, gates, benches and planters as their sums say.
#include <gmock/gmock.h>

#include <cmath>

#include "base/published_values_for_tests.h"
#include "pattern/patterns_for_tests.h"

namespace garthwright::pattern {
namespace {

using garthwright::testing::Answer;
using garthwright::testing::Published;
using garthwright::testing::Values;
using ::testing::HasSubstr;
using testing::Made;
using testing::make;

constexpr double kLength = 0.005;  // mm

TEST(RaisedBed, RectangleWithATie) {
  // 2400 × 1200 of 45: the short boards and the tie are 1200 − 90 = 1110; 2.31 × 1.11 × 0.4 = 1.026 m³, 15 % more
  // make 1.180 m³: 20 bags of 60 l.
  const Made bed = make("raised-bed", "courses = 3\nmid_posts = false\nfill = 400");
  ASSERT_EQ(bed.error, "");
  EXPECT_EQ(bed.count("long board"), 6);
  EXPECT_EQ(bed.count("end board"), 6);
  EXPECT_EQ(bed.count("post"), 4);
  EXPECT_EQ(bed.count("tie"), 1);
  EXPECT_NEAR(bed.length("long board"), 2400, kLength);
  EXPECT_NEAR(bed.length("end board"), 1110, kLength);
  EXPECT_NEAR(bed.length("tie"), 1110, kLength);
  EXPECT_TRUE(bed.says("1.026 m³")) << to_string(bed.remarks.front());
  EXPECT_TRUE(bed.says("20 bags of 60 l"));
}

TEST(RaisedBed, AnLHasBothArmsLessWhereTheyMeet) {
  // Arms 900 wide, 810 inside: 2.910 × 0.81 + 2.310 × 0.81 − 0.81² = 3.5721 m²; × 0.4 = 1.429 m³; 28 bags.
  const Made bed = make("raised-bed", "shape = 'L'\nlength = 3000\nwidth = 2400\narm = 900\ncourses = 3\nfill = 400");
  ASSERT_EQ(bed.error, "");
  EXPECT_TRUE(bed.says("3.5721 m² inside"));
  EXPECT_TRUE(bed.says("1.429 m³"));
  EXPECT_TRUE(bed.says("28 bags"));
}

TEST(RaisedBed, AgainstAWall) {
  // Ends 600 − 45 = 555; 3.51 × 0.555 × 0.25 = 0.487 m³; 10 bags.
  const Made bed = make("raised-bed", "shape = 'against a wall'\nlength = 3600\nwidth = 600\nfill = 250");
  ASSERT_EQ(bed.error, "");
  EXPECT_EQ(bed.count("long board"), 2);
  EXPECT_EQ(bed.count("end board"), 4);
  EXPECT_NEAR(bed.length("long board"), 3600, kLength);
  EXPECT_NEAR(bed.length("end board"), 555, kLength);
  EXPECT_TRUE(bed.says("0.487 m³"));
  EXPECT_TRUE(bed.says("10 bags"));
  EXPECT_TRUE(bed.says("soil against a wall"));
}

TEST(RaisedBed, StandsLevelOnASlope) {
  const Made bed = make("raised-bed", "", "[ground]\nslope = { way = 'right', percent = 5 }");
  ASSERT_EQ(bed.error, "");
  EXPECT_TRUE(bed.says("the ground falls 120 mm under the bed"));
  // Every post is as deep in the ground where it stands.
  for (const Piece* post : bed.all("post")) {
    const Box box = bed.box(*post);
    EXPECT_NEAR(-0.05 * (box.min.x + 47.5) - box.min.z, 450, kLength);
    EXPECT_NEAR(box.max.z, 2 * 145, kLength);
  }
  EXPECT_THAT(make("raised-bed", "courses = 7").error, HasSubstr("courses"));
  EXPECT_THAT(make("raised-bed", "courses = 6\nboard = '8x2'").error, HasSubstr("retaining wall"));
}

TEST(Gate, LedgedAndBraced) {
  // Opening 1000 less 6 and 10: a leaf of 984. 9 boards of 119, the outer two (984 − 7 × 119) / 2 = 75.5. Between the
  // ledges 700 − 145 = 555; over the full run of 944 − 120 = 824 a brace would stand at 34°: shortened to 45°, 784.889
  // on its middle. 31.1 kg: 31.1 × 9.81 × 492 / 1400 = 107 N; brace 152.6 / sin 45° = 216 N.
  const Made gate = make("gate", "opening = 1000\nleaf_height = 1750");
  ASSERT_EQ(gate.error, "");
  EXPECT_EQ(gate.count("board"), 9);
  EXPECT_EQ(gate.count("ledge"), 3);
  EXPECT_EQ(gate.count("brace"), 2);
  EXPECT_NEAR(gate.one("board", "number 1").width.value(), 75.5, kLength);
  EXPECT_NEAR(gate.one("board", "number 9").width.value(), 75.5, kLength);
  EXPECT_NEAR(gate.one("board", "number 2").width.value(), 119, kLength);
  EXPECT_NEAR(gate.length("ledge"), 944, kLength);
  EXPECT_NEAR(gate.box(gate.one("ledge", "middle 1")).centre().z, 50 + 900, kLength);
  EXPECT_NEAR(gate.box(gate.one("board", "number 2")).max.z, 1800, kLength);
  const Piece& brace = gate.one("brace", "lower");
  EXPECT_NEAR(std::atan2(brace.frame.x.z, brace.frame.x.x) * 180 / M_PI, 45, 1e-6);
  EXPECT_NEAR(brace.length.value() - 95, 784.889, kLength);  // its long points are one width farther apart at 45°
  EXPECT_TRUE(gate.says("would stand at 34 degrees: shortened to 45 degrees"));
  EXPECT_TRUE(gate.says("31.1 kg"));
  EXPECT_TRUE(gate.says("107 N pull the top hinge"));
  EXPECT_TRUE(gate.says("straps of 328 mm or more (better 492)"));
  EXPECT_TRUE(gate.says("carries 216 N over 784.9 mm"));
}

TEST(Gate, BracesRiseFromTheHingeSide) {
  for (const char* hinge : {"left", "right"}) {
    const Made gate = make("gate", std::string("hinge = '") + hinge + "'");
    ASSERT_EQ(gate.error, "");
    const Piece& brace = gate.one("brace", "lower");
    const bool rises_right = brace.frame.x.x * brace.frame.x.z > 0;
    EXPECT_EQ(rises_right, std::string(hinge) == "left");
    ASSERT_EQ(gate.structure.swings.size(), 1u);
    EXPECT_EQ(gate.structure[PieceId{gate.structure.swings[0].on.index}].where, hinge);
  }
}

TEST(Gate, LeafIsWhatTheOpeningLeaves) {
  garthwright::testing::check_published("yard.json", [](const Published& o) -> std::optional<Answer> {
    if (o.id == "yard_leaf_2")
      return Values{
          {"leaf_mm", make("gate", fmt::format("opening = {}\nhinge_gap = {}\nlatch_gap = {}\nledge_in = 0",
                                               o.in("opening_mm"), o.in("hinge_gap_mm"), o.in("latch_gap_mm")))
                          .length("ledge")}};
    if (o.id == "yard_leaf_double")
      return Values{
          {"leaf_mm",
           make("gate", fmt::format("opening = {}\nhinge_gap = {}\nmeeting_gap = {}\nledge_in = 0\nleaves = 2",
                                    o.in("opening_mm"), o.in("hinge_gap_mm"), o.in("meeting_gap_mm")))
               .length("ledge")}};
    if (o.id == "yard_brace_angle_rule") {
      const Made gate = make("gate", "leaf_height = 1000");
      const Piece& brace = *gate.all("brace")[0];
      return Values{{"alpha_min_deg", std::round(std::atan2(brace.frame.x.z, brace.frame.x.x) * 180e6 / M_PI) / 1e6}};
    }
    return std::nullopt;
  });
}

TEST(Gate, ClearsRisingGround) {
  // The ground rises 1 in 12 to the back, where the leaf of 984 opens over it: 984 / 12 = 82 higher.
  const Made gate = make("gate", "", "[ground]\nslope = { way = 'front', percent = 8.333333 }");
  ASSERT_EQ(gate.error, "");
  EXPECT_TRUE(gate.says("the ground rises 82 mm where the leaf swings"));
  EXPECT_NEAR(gate.box(*gate.all("board")[0]).min.z, 82 + 50, 0.5);
  EXPECT_FALSE(make("gate", "opens = 'front'", "[ground]\nslope = { way = 'front', percent = 8.333333 }")
                   .says("where the leaf swings"));
}

TEST(Bench, SlatsFallAndTheBackLeans) {
  const Made bench =
      make("bench", "persons = 2\nseat_height = 460\ndepth = 440\nslats = 6\nback_slats = 5\nback = 450");
  ASSERT_EQ(bench.error, "");
  const auto& slats = bench.all("seat slat");
  ASSERT_EQ(slats.size(), 6u);
  // (440 − 6 × 65) / 5 = 10 between slats; the seat's rear edge is 440 sin 3° lower: 460 − 23.028.
  const auto top_front = [](const Piece& s) {  // top front corner of a slat at its left end
    return s.frame.to_world({0, 0, s.thickness.value()});
  };
  EXPECT_NEAR(norm(top_front(*slats[1]) - top_front(*slats[0])) - 65, 10, kLength);
  EXPECT_NEAR(top_front(*slats[0]).z, 460, kLength);
  const Vec3 rear = slats[5]->frame.to_world({0, 65, 28});
  EXPECT_NEAR(rear.z, 436.972, kLength);
  EXPECT_NEAR(rear.y - top_front(*slats[0]).y, 439.397, kLength);
  // The back of 450 leans 10°: its top is 450 sin 10° = 78.142 behind its foot and 443.163 above it; 31.25 between
  // slats.
  const auto& back = bench.all("back slat");
  ASSERT_EQ(back.size(), 5u);
  const auto front_low = [](const Piece& s) { return s.frame.to_world({0, 0, s.thickness.value()}); };
  const auto front_high = [](const Piece& s) { return s.frame.to_world({0, 65, s.thickness.value()}); };
  EXPECT_NEAR(front_high(*back[4]).y - front_low(*back[0]).y, 78.142, kLength);
  EXPECT_NEAR(front_high(*back[4]).z - front_low(*back[0]).z, 443.163, kLength);
  EXPECT_NEAR(norm(front_low(*back[1]) - front_high(*back[0])), 31.25, kLength);
}

TEST(Planter, CornersOfLeaningBoardsAreCompoundCuts) {
  garthwright::testing::check_published("yard.json", [](const Published& o) -> std::optional<Answer> {
    if (!o.starts("yard_mitre_4_")) return std::nullopt;
    const Made planter = make("planter", fmt::format("splay = {}", o.in("splay_from_plumb_deg")));
    EXPECT_EQ(planter.error, "");
    const Piece& board = *planter.all("long board")[0];
    Values values;
    for (const Machining& machining : board.machining)
      if (const auto* cut = std::get_if<EndCut>(&machining); cut && cut->end == End::finish) {
        // On the face the saw line leans by n.y : n.x; the blade tilts by what is left of the normal out of the face.
        const Vec3 n = unit(cut->normal);
        values["mitre_deg"] = std::atan2(std::abs(n.y), n.x) * 180 / M_PI;
        values["tilt_deg"] = std::asin(std::abs(n.z)) * 180 / M_PI;
      }
    for (auto& [key, value] : values) value = std::stod(fmt::format("{:.6g}", value));
    return values;
  });
}

TEST(Yards, ShippedPatternsAreBuiltInBoth) {
  for (const char* yard : {"harrow-lane", "mill-creek"})
    for (const auto& [pattern, choices] :
         std::vector<std::pair<std::string, std::string>>{{"raised-bed", ""},
                                                          {"raised-bed", "capping = true"},
                                                          {"gate", ""},
                                                          {"gate", "kind = 'picket'"},
                                                          {"gate", "opening = 3000"},
                                                          {"bench", ""},
                                                          {"bench", "kind = 'backless'"},
                                                          {"planter", ""},
                                                          {"planter", "splay = 8"}}) {
      const Made made = make(pattern, choices, "", yard);
      EXPECT_EQ(made.error, "") << pattern << " " << choices << " " << yard;
      EXPECT_FALSE(made.structure.pieces.empty());
    }
}

}  // namespace
}  // namespace garthwright::pattern
