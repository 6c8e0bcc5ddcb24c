// SPDX-License-Identifier: Apache-2.0
// Beds, gates, benches and planters as their sums say.
#include <gmock/gmock.h>

#include <cmath>
#include <fstream>
#include <iterator>
#include <map>

#include "base/published_values_for_tests.h"
#include "base/source_dir_for_tests.h"
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
    EXPECT_NEAR(-0.05 * (box.min.x + 47.5) - box.min.z, 500, kLength);
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
      make("bench", "persons = 2\nfall = 3\nseat_height = 460\ndepth = 440\nslats = 6\nback_slats = 5\nback = 450");
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

// A side of a hexagon is 1.1547 (2 tan 30°) times its distance from the middle, and its mitres stand at 30°: common
// practice, no source; plane geometry.
TEST(TreeBench, ClosesAroundTheTrunkInEqualMitredSides) {
  const Made bench = make("tree-bench", "trunk = 300\ngrowth = 200\nsides = 6\nslats = 3\nmitre_gap = 5");
  ASSERT_EQ(bench.error, "");
  const auto& slats = bench.all("seat slat");
  ASSERT_EQ(slats.size(), 18u);
  ASSERT_EQ(bench.count("bearer"), 12);
  ASSERT_EQ(bench.count("leg"), 12);
  Vec3 round;
  for (std::size_t side = 0; side < 6; ++side) {
    const Piece& inner = *slats[3 * side];
    // Its inner edge lies 150 + 200 from the trunk's middle, its outer one 145 farther out; there it is longest:
    // 2 × 495 × tan 30° = 571.577, less 5 / cos 30° = 5.774 for the gap of 5 at the mitres.
    EXPECT_NEAR(inner.length.value(), 565.803, kLength);
    round = round + inner.length.value() * inner.frame.x;
    const Vec3 a = inner.frame.to_world({0, 0, 0}), b = inner.frame.to_world({0, 145, 0});
    const Vec3 out = unit(cross(inner.frame.x, Vec3{0, 0, 1}));
    EXPECT_NEAR(std::min(std::abs(dot(a, out)), std::abs(dot(b, out))), 350, kLength);
    int mitres = 0;
    for (const Machining& m : inner.machining)
      if (const auto* cut = std::get_if<EndCut>(&m)) {
        EXPECT_NEAR(std::abs(unit(cut->normal).x), std::cos(30 * M_PI / 180), 1e-9);
        ++mitres;
      }
    EXPECT_EQ(mitres, 2);
  }
  EXPECT_NEAR(norm(round), 0, kLength);
}

TEST(TreeBench, RefusesATrunkThatLeavesItsBearersNoRoom) {
  const Made bench = make("tree-bench", "trunk = 100\ngrowth = 100\nsides = 8");
  EXPECT_NE(bench.error.find("no room between the bearers"), std::string::npos) << bench.error;
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

TEST(Planter, LongSidesAreTiedToOneAnother) {
  // 1800 in fields of 650 at most: three, so two pairs of battens, a tie low and one high on each.
  const Made trough = make("planter", "length = 1800");
  ASSERT_EQ(trough.error, "");
  EXPECT_EQ(trough.count("batten"), 4);
  EXPECT_EQ(trough.count("tie"), 4);
  // From side to side inside the boards of 28.
  EXPECT_NEAR(trough.length("tie"), 400 - 2 * 28, kLength);
  EXPECT_EQ(make("planter", "length = 800").count("tie"), 0);
}

TEST(PlanterBench, SeatBetweenTwoPlanters) {
  // A seat of 1200 at 450: slats of 65 × 28, 5 apart or more: (1188 + 5) / 70 = 17; gaps (1188 − 1105) / 16 = 5.19.
  // Rails of 95 under them lie on legs of 450 − 28 − 95 = 327. Planters of 450 on either side: 2100 over all.
  const Made bench = make("planter-bench", "");
  ASSERT_EQ(bench.error, "");
  EXPECT_EQ(bench.count("seat slat"), 17);
  EXPECT_NEAR(bench.box(bench.one("seat slat", "number 2")).min.x - bench.box(bench.one("seat slat", "number 1")).max.x,
              5.1875, kLength);
  EXPECT_EQ(bench.count("leg"), 4);
  EXPECT_NEAR(bench.length("leg"), 327, kLength);
  EXPECT_NEAR(bench.box(bench.one("seat slat", "number 1")).max.z, 450, kLength);
  EXPECT_EQ(bench.count("long board"), 12);
  double right = 0;
  for (const Piece* board : bench.all("long board")) right = std::max(right, bench.box(*board).max.x);
  EXPECT_NEAR(right, 2 * 450 + 1200, kLength);
  EXPECT_TRUE(bench.says("each box holds"));
}

TEST(Arbor, StandsOnShoesClearOfTheGround) {
  const Made arbor = make("arbor", "opening = 1350\nfeet = 'shoe'");
  ASSERT_EQ(arbor.error, "");
  ASSERT_EQ(arbor.structure.footings.size(), 4u);
  for (const Footing& footing : arbor.structure.footings) {
    EXPECT_EQ(footing.shoe, "post shoe 120 that holds upright");
    EXPECT_NEAR(arbor.box(arbor.structure[footing.post]).min.z, 50, kLength);
  }
}

TEST(Deck, OfLowHeightHasLowJoistsAndBeams) {
  // 28 + 95 + 95 = 218: under 300 there are 82 left.
  const Made deck = make("deck", "height = 300");
  ASSERT_EQ(deck.error, "");
  EXPECT_NEAR(deck.box(*deck.all("beam")[0]).min.z, 82, kLength);
}

TEST(Deck, HandrailFollowsTheNosings) {
  // 600 high in four risers of 150 with goings of 296: its upper edge rises 150 in 296 and is 900 above each nosing,
  // 1500 up at the rim's face. It ends 60 + 95 before that and 40 past its post there: 115 · 150 / 296 lower.
  const Made deck = make("deck", "height = 600\nhandrail = 'left'");
  ASSERT_EQ(deck.error, "");
  ASSERT_EQ(deck.count("handrail"), 1);
  const Piece& rail = *deck.all("handrail")[0];
  EXPECT_NEAR(std::abs(rail.frame.x.z / rail.frame.x.y), 150.0 / 296, 1e-9);
  EXPECT_NEAR(deck.box(rail).max.z, 1500 - 115 * 150.0 / 296, kLength);
  EXPECT_EQ(make("deck", "height = 450").count("handrail"), 0);
  EXPECT_EQ(make("deck", "height = 600\nhandrail = 'both sides'").count("handrail"), 2);
}

TEST(SeatArbor, ForTwo) {
  // 1300 clear, 95 posts, 700 deep: 1490 × 890 over all. Three bearers of 45 leave (1300 − 135) / 2 = 582.5 clear; the
  // seat 440 deep at 3° from 460 up ends 436.972 up; 6 slats of 65 leave 10; the arm rails end 460 + 220 = 680 up.
  const Made arbor = make(
      "seat-arbor", "persons = 2\nseat_height = 460\nslats = 6\nback_slats = 5\nfall = 3\nlet_in = 0\nslats_past = 0");
  ASSERT_EQ(arbor.error, "");
  EXPECT_NEAR(arbor.length("seat slat"), 1300, kLength);
  const auto& bearers = arbor.all("bearer");
  ASSERT_EQ(bearers.size(), 3u);
  EXPECT_NEAR(arbor.box(*bearers[1]).min.x - arbor.box(*bearers[0]).max.x, 582.5, kLength);
  const auto& slats = arbor.all("seat slat");
  ASSERT_EQ(slats.size(), 6u);
  EXPECT_NEAR(slats[0]->frame.to_world({0, 0, 28}).z, 460, kLength);
  EXPECT_NEAR(slats[5]->frame.to_world({0, 65, 28}).z, 436.972, kLength);
  EXPECT_NEAR(norm(slats[1]->frame.origin - slats[0]->frame.origin) - 65, 10, kLength);
  const auto& back = arbor.all("back slat");
  ASSERT_EQ(back.size(), 5u);
  EXPECT_NEAR(norm(back[1]->frame.origin - back[0]->frame.origin) - 65, 31.25, kLength);
  EXPECT_NEAR(arbor.box(*arbor.all("arm rail")[0]).max.z, 680, kLength);
  Box posts = arbor.box(*arbor.all("post")[0]);
  for (const Piece* post : arbor.all("post")) posts = enclosing(posts, arbor.box(*post));
  EXPECT_NEAR(posts.size().x, 1490, kLength);
  EXPECT_NEAR(posts.size().y, 890, kLength);
}

Values steps_of(const Published& o) {
  const double going = o.in("going_mm"), rise = o.in("total_rise_mm");
  const Made deck = make("deck", fmt::format("height = {}\nmost_riser = {}\ngoing = {}\njoist = '4x2'\nbeam = '4x2'\n"
                                             "width = 3000",
                                             rise, o.in("max_rise_mm"), going));
  EXPECT_EQ(deck.error, "");
  const Piece& string = *deck.all("string")[0];
  const double pitch = std::atan2(string.frame.x.z, std::hypot(string.frame.x.x, string.frame.x.y));
  double treads = 0, lowest = 1e9;
  for (const Piece* tread : deck.all("tread")) {
    // The first board of each tread, in one of the bays between its strings.
    if (tread->where.find("board 1") != std::string::npos && tread->where.find("bay 2") == std::string::npos)
      treads += 1;
    lowest = std::min(lowest, deck.box(*tread).max.z);
  }
  const double run = treads * going;
  return {{"risers", treads + 1},
          {"rise_mm", lowest},
          {"treads", treads},
          {"run_mm", run},
          {"pitch_deg", pitch * 180 / M_PI},
          {"two_r_plus_g_mm", 2 * lowest + going},
          {"string_line_mm", std::hypot(run, lowest * treads)}};
}

TEST(Deck, BoardsJoistsAndStepsArePublishedAndComputed) {
  garthwright::testing::check_published("yard.json", [](const Published& o) -> std::optional<Answer> {
    Values values;
    if (o.starts("yard_deck_boards_")) {
      // The boards lie from rim to rim, 10 short of each rim's face: over joists of this length less two rims of 35.
      const double reach = o.in("depth_mm");
      const Made deck = make("deck", fmt::format("depth = {}\ngap = {}\nsteps = false", reach - 70, o.in("gap_mm")),
                             fmt::format("[timber.measured]\n'decking 28x145' = '28 x {}'", o.in("board_mm")));
      EXPECT_EQ(deck.error, "");
      const auto& boards = deck.all("deck board");
      const Box first = deck.box(*boards[0]), second = deck.box(*boards[1]);
      values = {{"boards", deck.count("deck board")}, {"gap_even_mm", second.min.y - first.max.y}};
      // A narrow last board is not left: what would be ripped off it is ripped off several, each a little.
      const double whole = o.in("board_mm");
      double last = whole;
      for (const Piece* board : boards) {
        last -= whole - board->width.value();
        EXPECT_GT(board->width.value(), 0.8 * whole);
      }
      EXPECT_DOUBLE_EQ(boards.back()->width.value(), whole);
      values["last_board_mm"] = last;
    } else if (o.id == "yard_deck_joists") {
      // The boards reach 40 beyond the outer joists.
      const Made deck = make("deck", fmt::format("width = {}\njoist_every = {}\nsteps = false", o.in("length_mm") + 80,
                                                 o.in("max_spacing_mm")));
      const auto& joists = deck.all("joist");
      values = {{"joists", deck.count("joist")},
                {"spacing_mm", deck.box(*joists[1]).min.x - deck.box(*joists[0]).min.x}};
    } else if (o.id == "yard_steps_1" || o.id == "yard_steps_2") {
      values = steps_of(o);
    } else {
      return std::nullopt;
    }
    for (auto& [key, value] : values) value = std::stod(fmt::format("{:.6g}", value));
    return values;
  });
}

TEST(LogStore, IsWhatThePageAboutPatternsWalksThrough) {
  const std::string source = source_dir();
  const auto read = [&](const std::string& file) {
    std::ifstream in(source + file);
    return std::string((std::istreambuf_iterator<char>(in)), {});
  };
  std::string page = read("/docs/patterns.md"), blocks;
  page = page.substr(page.find("## A log store, step by step"));
  page = page.substr(0, page.find("## What a pattern cannot do"));
  for (std::size_t at = page.find("```lua\n"); at != std::string::npos; at = page.find("```lua\n", at)) {
    const std::size_t end = page.find("```", at + 7);
    blocks += (blocks.empty() ? "" : "\n") + page.substr(at + 7, end - at - 7);
    at = end + 3;
  }
  EXPECT_EQ(blocks, read("/patterns/log-store.lua"));
}

TEST(LogStore, RoofFallsToTheBackOnAnyGround) {
  const Made store = make("log-store", "fall = 10", "[ground]\nslope = { way = 'right', percent = 6 }");
  ASSERT_EQ(store.error, "");
  for (const Piece* board : store.all("roof board")) {
    EXPECT_NEAR(board->frame.z.y / board->frame.z.z, std::tan(10 * M_PI / 180), 1e-9);
  }
  for (const Piece* post : store.all("post")) {
    const Box box = store.box(*post);
    EXPECT_NEAR(-0.06 * (box.min.x + 47.5) - box.min.z, 1000, kLength);
  }
}

TEST(Gate, AFieldGatesBracesAreAsSteepAsAskedAndStandAgainstItsUprights) {
  // 3000 clear, gaps 6 and 10: 2984 wide. Heel and head of 95 leave 2794; with n spaces and uprights of 95 between them
  // the brace of 95 rises 1100 less its own plumb height over (2794 − 95 (n − 1)) / n: 45° or more from three spaces
  // on.
  const Made gate = make("gate", "kind = 'field'\nopening = 3000");
  ASSERT_EQ(gate.error, "");
  EXPECT_EQ(gate.count("bar"), 5);
  EXPECT_EQ(gate.count("brace"), 3);
  EXPECT_EQ(gate.count("upright"), 2);
  const double clear = (2794 - 2 * 95) / 3.0;
  double low = 1e9, high = 0;  // gaps between the bars grow from below
  std::vector<double> bottoms;
  for (const Piece* bar : gate.all("bar")) bottoms.push_back(gate.box(*bar).min.z);
  for (std::size_t i = 1; i < bottoms.size(); ++i) {
    const double gap = bottoms[i] - bottoms[i - 1] - 100;
    EXPECT_GT(gap, high);
    low = std::min(low, gap), high = gap;
  }
  EXPECT_NEAR(high / low, std::pow(1.25, 3), 1e-6);
  for (const Piece* brace : gate.all("brace")) {
    const double angle = std::atan2(std::abs(brace->frame.x.z), std::hypot(brace->frame.x.x, brace->frame.x.y));
    EXPECT_GE(angle * 180 / M_PI, 45);
    EXPECT_NEAR(clear * std::tan(angle) + 95 / std::cos(angle), 1100, 0.1);
    EXPECT_GT(brace->frame.x.x * brace->frame.x.z, 0);  // it rises from the hinges on the left
  }
}

TEST(Deck, AGuardLetsNoBallThrough) {
  for (const char* yard : {"harrow-lane", "mill-creek"}) {
    const Made deck = make("deck", "height = 800", "", yard);
    ASSERT_EQ(deck.error, "");
    std::map<std::string, std::vector<Box>> sides;  // balusters and posts of each side, along it
    for (const char* name : {"baluster", "post"})
      for (const Piece* piece : deck.all(name)) {
        const std::string where = piece->where;
        const std::size_t at = where.find("guard ");
        if (name == std::string("post") && at != 0) continue;
        const std::string side = at == 0 ? where.substr(6, where.rfind(' ') - 6) : where.substr(0, where.rfind(' '));
        sides[side].push_back(deck.box(*piece));
      }
    EXPECT_EQ(sides.size(), 5u);
    for (auto& [side, boxes] : sides) {
      const bool along_y = side == "left" || side == "right";
      const auto near = [&](const Box& b) { return along_y ? b.min.y : b.min.x; };
      std::sort(boxes.begin(), boxes.end(), [&](const Box& a, const Box& b) { return near(a) < near(b); });
      for (std::size_t i = 1; i < boxes.size(); ++i)
        EXPECT_LT(near(boxes[i]) - (along_y ? boxes[i - 1].max.y : boxes[i - 1].max.x), 99) << side << yard;
    }
  }
}

TEST(TableBed, KneesGoUnderItAndTheFloorLiesOnItsBearers) {
  const Made bed = make("table-bed", "clear = 680\nwidth = 800");
  ASSERT_EQ(bed.error, "");
  for (const Piece* bearer : bed.all("bearer")) EXPECT_NEAR(bed.box(*bearer).min.z, 680, kLength);
  for (const Piece* board : bed.all("floor board")) EXPECT_NEAR(bed.box(*board).min.z, 680 + 95, kLength);
  // One course of 195 less a floor of 28 and 25 below the rim: 142 of soil in (1800 − 90)(800 − 90).
  EXPECT_TRUE(bed.says("it takes 0.172 m³ of soil, 142 mm deep"));
}

TEST(Yards, ShippedPatternsAreBuiltInBoth) {
  for (const char* yard : {"harrow-lane", "mill-creek"})
    for (const auto& [pattern, choices] :
         std::vector<std::pair<std::string, std::string>>{{"raised-bed", ""},
                                                          {"raised-bed", "capping = true"},
                                                          {"gate", ""},
                                                          {"gate", "kind = 'picket'"},
                                                          {"gate", "opening = 3000"},
                                                          {"gate", "kind = 'field'"},
                                                          {"table-bed", ""},
                                                          {"bench", ""},
                                                          {"bench", "kind = 'backless'"},
                                                          {"bench", "kind = 'with arms'"},
                                                          {"planter", ""},
                                                          {"planter", "splay = 8"},
                                                          {"planter", "length = 1800\nsplay = 8"},
                                                          {"planter-bench", ""},
                                                          {"pergola", "length = 3600\ndepth = 2700\nfeet = 'shoe'"},
                                                          {"seat-arbor", "feet = 'shoe'"},
                                                          {"deck", "height = 305"},
                                                          {"log-store", ""},
                                                          {"seat-arbor", ""},
                                                          {"deck", "height = 500"},
                                                          {"deck", "height = 800"},
                                                          {"tree-bench", ""},
                                                          {"curved-screen", ""}}) {
      const Made made = make(pattern, choices, "", yard);
      EXPECT_EQ(made.error, "") << pattern << " " << choices << " " << yard;
      EXPECT_FALSE(made.structure.pieces.empty());
    }
}

}  // namespace
}  // namespace garthwright::pattern
