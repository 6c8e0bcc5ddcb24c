// SPDX-License-Identifier: Apache-2.0
#include "marking/marking.h"

#include <fmt/format.h>
#include <gmock/gmock.h>

#include <cmath>

#include "marking/hands.h"
#include "structure/joinery.h"
#include "structure/marks.h"

namespace garthwright::marking {
namespace {

using testing::ElementsAre;
using testing::UnorderedElementsAre;

// ---- building and reading -------------------------------------------------------------------------------------------

Placing timber(const std::string& where, const std::string& name, double length, double width, double thickness,
               Way runs, Way wide, std::array<double, 3> low) {
  Placing placing;
  placing.name = name;
  placing.where = where;
  placing.section = SectionId{0};
  placing.length = length;
  placing.width = width;
  placing.thickness = thickness;
  placing.runs = runs;
  placing.wide = wide;
  placing.low = {Traced(low[0]), Traced(low[1]), Traced(low[2])};
  return placing;
}

Structure empty() {
  Structure structure;
  structure.sections.resize(1);
  return structure;
}

PieceId put(Structure& structure, const Placing& placing) {
  const auto piece = place(structure, placing);
  EXPECT_TRUE(piece);
  return piece.value();
}

void let_down(Structure& structure, PieceId coming, PieceId standing) {
  EXPECT_TRUE(cross(structure, Crossing{coming, standing, Way::down, 0.5, 0}));
}

std::string shown(const Mark& mark) {
  std::string text = fmt::format("{:g} {} {}", std::round(mark.at_mm * 100) / 100, mark.face, name(mark.kind));
  if (mark.kind == MarkKind::shoulder || mark.kind == MarkKind::depth) text += fmt::format(" {:g}", mark.depth_mm);
  if (mark.kind == MarkKind::hole) text += fmt::format(" {:g}", mark.across_mm.value_or(-1));
  if (mark.kind == MarkKind::seat && mark.across_mm)
    text += fmt::format(" {:g} from {}", std::round(*mark.across_mm * 100) / 100, mark.from);
  if (mark.diameter_mm != 0) text += fmt::format(" ø{:g}", mark.diameter_mm);
  if (!mark.against.empty()) text += " > " + mark.against;
  if (!mark.setting.empty()) text += " [" + mark.setting + "]";
  return text;
}

std::vector<std::string> shown(const MarkList& list) {
  std::vector<std::string> lines;
  for (const Mark& mark : list.marks) lines.push_back(shown(mark));
  return lines;
}

MarkList list_of(const Structure& structure, const std::string& mark) {
  for (const MarkList& list : mark_out({{structure}}).lists)
    if (list.mark == mark) return list;
  ADD_FAILURE() << "no list " << mark;
  return {};
}

/// A lone level timber with this machining: 1000 long to the right, 95 up, 45 to the back.
Structure lone(std::vector<Machining> machining) {
  Structure structure = empty();
  const PieceId id = put(structure, timber("", "rail", 1000, 95, 45, Way::right, Way::up, {0, 0, 0}));
  structure[id].machining = std::move(machining);
  structure[id].mark = "A1";
  return structure;
}

/// Local coordinates of a world point and direction on the lone timber, whichever corner its frame stands in.
Vec3 local(const Structure& structure, Vec3 world) { return structure.pieces[0].frame.to_local(world); }

// ---- halvings -------------------------------------------------------------------------------------------------------

/// Two beams 45 × 145 and 2000 long, 800 apart, with two rafters 45 × 95 let 50 down onto them, 500 from each end and
/// 250 over at front and back.
///   rafter: shoulders at 250, 250 + 45, 250 + 800, 250 + 800 + 45; length 800 + 45 + 2 × 250 = 1345
///   beam: shoulders at 500, 545 and, 500 from the far end, 1455, 1500
///   each loses half of the 50 they share: 25
Structure small_frame() {
  Structure structure = empty();
  const PieceId front = put(structure, timber("front", "beam", 2000, 145, 45, Way::right, Way::up, {0, 0, 2000}));
  const PieceId back = put(structure, timber("back", "beam", 2000, 145, 45, Way::right, Way::up, {0, 800, 2000}));
  for (double x : {500.0, 1455.0}) {
    const PieceId rafter = put(structure, timber("", "rafter", 1345, 95, 45, Way::back, Way::up, {x, -250, 2095}));
    let_down(structure, rafter, front);
    let_down(structure, rafter, back);
  }
  assign_marks(structure);
  return structure;
}

TEST(MarkOut, MeasuresEveryShoulderFromOneEnd) {
  const Structure structure = small_frame();
  const MarkList rafter = list_of(structure, "B1");
  EXPECT_EQ(rafter.datum, "front end");
  EXPECT_THAT(shown(rafter), ElementsAre("0 all round end", "250 bottom shoulder 25 > beam A1",
                                         "250 left and right depth 25 > beam A1 [from the bottom]",
                                         "295 bottom shoulder 25 > beam A1", "1050 bottom shoulder 25 > beam A1",
                                         "1050 left and right depth 25 > beam A1 [from the bottom]",
                                         "1095 bottom shoulder 25 > beam A1", "1345 all round end"));
  const MarkList beam = list_of(structure, "A1");
  EXPECT_EQ(beam.datum, "left end");
  EXPECT_THAT(shown(beam),
              ElementsAre("0 all round end", "500 front and back depth 25 > rafter B1 [from the top]",
                          "500 top shoulder 25 > rafter B1", "545 top shoulder 25 > rafter B1",
                          "1455 front and back depth 25 > rafter B1 [from the top]", "1455 top shoulder 25 > rafter B1",
                          "1500 top shoulder 25 > rafter B1", "2000 all round end"));
}

TEST(MarkOut, SaysWhyWhereTheSumIsKnown) {
  Structure structure = empty();
  const Traced overhang = Traced::named("overhang", 250, "choice"), thick = Traced::named("beam thickness", 45, "yard");
  Placing beam = timber("", "beam", 2000, 145, 45, Way::right, Way::up, {0, 0, 2000});
  beam.thickness = thick;
  Placing rafter = timber("", "rafter", 1345, 95, 45, Way::back, Way::up, {500, 0, 2095});
  rafter.low[1] = -overhang;
  rafter.length = 2.0 * overhang + thick;
  const PieceId standing = put(structure, beam), coming = put(structure, rafter);
  let_down(structure, coming, standing);
  assign_marks(structure);
  std::vector<std::string> whys;
  for (const Mark& mark : list_of(structure, "B1").marks)
    if (mark.kind == MarkKind::shoulder || mark.kind == MarkKind::end) whys.push_back(mark.why);
  EXPECT_THAT(whys, ElementsAre("", "overhang 250", "overhang 250 + beam thickness 45",
                                "2 × overhang 250 + beam thickness 45"));
}

TEST(MarkOut, NamesTheFacesOfTurnedPiecesByInsideAndOutside) {
  // Two posts with one notch each, on their outsides: the right one is the left one turned half about.
  Structure structure = empty();
  for (const bool left : {true, false}) {
    const PieceId post = put(structure, timber(left ? "left" : "right", "post", 2400, 95, 95, Way::up, Way::right,
                                               {left ? 0.0 : 1500.0, 0, 0}));
    const Box post_box = world_box(structure, body(post));
    const double out = left ? post_box.min.x : post_box.max.x, in = out + (left ? 45 : -45);
    const Frame& frame = structure[post].frame;
    const Box world{{std::min(out, in), 0, 2000}, {std::max(out, in), 95, 2145}};
    const Vec3 a = frame.to_local(world.min), b = frame.to_local(world.max);
    Notch notch;
    for (int i = 0; i < 3; ++i) {
      notch.region.min[i] = std::min(a[i], b[i]);
      notch.region.max[i] = std::max(a[i], b[i]);
    }
    notch.opens_on = face_looking(frame.direction_to_local({left ? -1.0 : 1.0, 0, 0}));
    notch.against = kWall;
    notch.from = 2000;
    notch.wide = 145;
    notch.deep = 45;
    structure[post].machining.push_back(notch);
  }
  assign_marks(structure);
  ASSERT_EQ(structure.pieces[0].mark, structure.pieces[1].mark);
  const MarkList post = list_of(structure, "A1");
  EXPECT_EQ(post.datum, "foot");
  std::vector<std::string> shoulders;
  for (const Mark& mark : post.marks)
    if (mark.kind == MarkKind::shoulder) shoulders.push_back(shown(mark));
  // Their fronts and backs look outwards too: which of the outer faces it is, is said.
  EXPECT_THAT(shoulders,
              ElementsAre("2000 outside L/R shoulder 45 > the wall", "2145 outside L/R shoulder 45 > the wall"));
}

TEST(MarkOut, TellsWhichEndIsTheDatumWherePiecesLieTurned) {
  Structure structure = empty();
  put(structure, timber("front", "rail", 1000, 95, 45, Way::right, Way::up, {0, 0, 0}));
  put(structure, timber("back", "rail", 1000, 95, 45, Way::left, Way::up, {0, 500, 0}));
  for (Piece& piece : structure.pieces) piece.mark = "A1";
  EXPECT_EQ(list_of(structure, "A1").datum, "left end (back rail: right end)");
}

// ---- what meets a piece ---------------------------------------------------------------------------------------------

/// Two posts 95 × 95, 1000 clear of each other, and between them a rail 45 × 95 on edge, 800 above their feet and `in`
/// from their fronts.
Structure two_posts(double in) {
  Structure structure = empty();
  const PieceId left = put(structure, timber("left", "post", 2000, 95, 95, Way::up, Way::right, {0, 0, 0}));
  const PieceId right = put(structure, timber("right", "post", 2000, 95, 95, Way::up, Way::right, {1095, 0, 0}));
  const PieceId rail = put(structure, timber("", "rail", 1000, 95, 45, Way::right, Way::up, {95, in, 800}));
  EXPECT_TRUE(join(structure, JointKind::butt, body(left), body(rail)));
  EXPECT_TRUE(join(structure, JointKind::butt, body(rail), body(right)));
  assign_marks(structure);
  return structure;
}

TEST(MarkOut, SaysWhereARailMeetsItsPosts) {
  std::vector<MarkList> posts;
  for (const MarkList& list : mark_out({{two_posts(10)}}).lists)
    if (list.mark == "A1") posts.push_back(list);
  ASSERT_EQ(posts.size(), 2u);
  EXPECT_EQ(posts[0].hand, "left");
  EXPECT_EQ(posts[1].hand, "right");
  EXPECT_THAT(shown(posts[0]), ElementsAre("0 all round end", "800 right seat 10 from front > rail B1",
                                           "895 right seat 10 from front > rail B1", "2000 all round end"));
  EXPECT_THAT(shown(posts[1]), ElementsAre("0 all round end", "800 left seat 10 from front > rail B1",
                                           "895 left seat 10 from front > rail B1", "2000 all round end"));
  EXPECT_EQ(posts[0].marks[1].side, Lies::beyond);
  EXPECT_EQ(posts[0].marks[2].side, Lies::before);
  EXPECT_EQ(posts[0].marks[1].wide_mm, 45);
}

TEST(MarkOut, TurnsEqualPiecesUntilTheyTakeTheSameLines) {
  Structure middle = two_posts(25);  // (95 − 45) / 2: either post turned half about its length is the other
  turn_alike(middle);
  std::vector<std::string> hands;
  for (const MarkList& list : mark_out({{middle}}).lists) hands.push_back(title(list));
  EXPECT_THAT(hands, ElementsAre("A1", "B1"));
}

TEST(MarkOut, TellsScrewsOnWhatTheyGoThrough) {
  Structure structure = two_posts(25);
  // Through the left post's outside into the rail's end: 847.5 up, 47.5 from its front.
  Fixing screw;
  screw.item = "screw 6x150";
  screw.through = {body(PieceId{0}), body(PieceId{2})};
  screw.head = {0, 47.5, 847.5};
  screw.direction = {1, 0, 0};
  screw.length = 150;
  screw.clearance = 6.5;
  screw.pilot = 4;
  structure.fixings.push_back(screw);
  const std::vector<std::string> lines = shown(list_of(structure, "A1"));
  EXPECT_THAT(lines, testing::Contains(testing::StartsWith("847.5 left hole 47.5 ø6.5 > screw 6x150 [through")));
  bool in_rail = false;
  for (const Mark& mark : list_of(structure, "B1").marks)
    if (mark.kind == MarkKind::hole) {
      in_rail = true;
      EXPECT_EQ(mark.diameter_mm, 4);
      EXPECT_NEAR(mark.depth_mm, 150 - 95, 1e-9);
      EXPECT_NEAR(*mark.across_mm, 47.5, 1e-9);
      EXPECT_NEAR(*mark.across_thickness_mm, 22.5, 1e-9);
    }
  EXPECT_TRUE(in_rail);
}

// ---- ends -----------------------------------------------------------------------------------------------------------

/// Knee brace 45°, legs 450, 70 wide: long edge 450 √2 = 636.40, each short point 70 in from its long point (short edge
/// L - 2b, the trade's rule), saw at 45°.
TEST(MarkOut, MarksABraceFromLongPointToLongPoint) {
  Structure structure = empty();
  const PieceId post = put(structure, timber("", "post", 2000, 95, 95, Way::up, Way::right, {-95, 0, 0}));
  put(structure, timber("", "beam", 2000, 145, 45, Way::right, Way::up, {-95, 25, 2000}));
  Bracing bracing;
  bracing.name = "brace";
  bracing.section = SectionId{0};
  bracing.width = 70;
  bracing.thickness = 45;
  bracing.foot = body(post);
  bracing.foot_face = Way::right;
  bracing.head_face = Way::up;
  bracing.head_level = 2000;
  bracing.leg_foot = bracing.leg_head = 450;
  bracing.low_across = 25;
  ASSERT_TRUE(garthwright::brace(structure, bracing));
  assign_marks(structure);
  const MarkList list = list_of(structure, "C1");
  EXPECT_EQ(list.datum, "foot");
  EXPECT_THAT(shown(list), ElementsAre("0 bottom mitre [saw 45° (mitre)]", "70 top mitre [saw 45° (mitre)]",
                                       "566.4 top mitre [saw 45° (mitre)]", "636.4 bottom mitre [saw 45° (mitre)]"));
  EXPECT_EQ(list.marks.front().why, "long point");
}

TEST(MarkOut, MarksBevelsOnTheSidesAndCompoundCutsOnEveryArris) {
  // A bevel of 30° across the 45 thickness: 45 tan 30° = 25.98 back on the far side.
  Structure structure = lone({});
  const Piece& piece = structure.pieces[0];
  const auto cut = [&](Vec3 world_point, Vec3 world_normal) {
    return EndCut{End::finish, piece.frame.to_local(world_point), piece.frame.direction_to_local(unit(world_normal))};
  };
  const double tan30 = std::tan(std::acos(-1.0) / 6);
  structure.pieces[0].machining = {cut({1000, 0, 0}, {1, tan30, 0})};
  EXPECT_THAT(shown(list_of(structure, "A1")), ElementsAre("0 all round end", "974.02 back mitre [blade 30° (bevel)]",
                                                           "1000 front mitre [blade 30° (bevel)]"));
  // Turned 45° across the width as well: 95 shorter at the top.
  structure.pieces[0].machining = {cut({1000, 0, 0}, {1, tan30, 1})};
  const MarkList compound = list_of(structure, "A1");
  std::vector<std::string> places;
  for (const Mark& mark : compound.marks)
    if (mark.kind == MarkKind::mitre) places.push_back(fmt::format("{:.1f} {}", mark.at_mm, mark.face));
  EXPECT_THAT(places, UnorderedElementsAre("1000.0 bottom, at the front", "974.0 bottom, at the back",
                                           "905.0 top, at the front", "879.0 top, at the back"));
}

TEST(MarkOut, MarksWhereAShapeLeavesTheEdges) {
  Structure structure = lone({});
  const double low = local(structure, {0, 0, 0}).y;  // the edge that looks down, 0 or 95
  const double high = 95 - low;
  ShapedEnd shape;
  shape.end = End::finish;
  shape.profile = "cove";
  shape.start_x = low == 0 ? 900 : 1000;
  shape.start_y = 0;
  shape.strokes.push_back({Stroke::Kind::line, low == 0 ? 1000.0 : 900.0, 95});
  structure.pieces[0].machining = {shape};
  EXPECT_EQ(std::abs(high - low), 95);
  EXPECT_THAT(shown(list_of(structure, "A1")),
              ElementsAre("0 all round end", "900 bottom shape > cove [draw round the template]",
                          "1000 top shape > cove [draw round the template]"));
}

// ---- housings and holes ---------------------------------------------------------------------------------------------

TEST(MarkOut, LeavesOutShouldersThatAreTheEndAndTellsStoppedHousings) {
  Structure structure = lone({});
  const Piece& piece = structure.pieces[0];
  const auto notch = [&](Vec3 low, Vec3 high, Vec3 opens) {
    const Vec3 a = piece.frame.to_local(low), b = piece.frame.to_local(high);
    Notch out;
    for (int i = 0; i < 3; ++i) {
      out.region.min[i] = std::min(a[i], b[i]);
      out.region.max[i] = std::max(a[i], b[i]);
    }
    out.opens_on = face_looking(piece.frame.direction_to_local(opens));
    out.against = kWall;
    return out;
  };
  // A half lap on the near end from the top, 40 of 95 deep; a housing 15 deep in the front, stopped 20 above the
  // bottom.
  structure.pieces[0].machining = {notch({0, 0, 55}, {120, 45, 95}, {0, 0, 1}),
                                   notch({600, 0, 20}, {645, 15, 95}, {0, -1, 0})};
  const std::vector<std::string> lines = shown(list_of(structure, "A1"));
  EXPECT_THAT(lines, testing::Contains("120 top shoulder 40 > the wall"));
  EXPECT_THAT(lines, testing::Not(testing::Contains(testing::StartsWith("0 top shoulder"))));
  EXPECT_THAT(lines, testing::Contains(testing::StartsWith("600 front shoulder 15 > the wall [stopped: ")));
  EXPECT_THAT(lines, testing::Contains(testing::StartsWith("645 front shoulder 15 > the wall [stopped: ")));
}

TEST(MarkOut, GivesHolesTheirCentreDiameterAndDepth) {
  Structure structure = lone({});
  const Piece& piece = structure.pieces[0];
  Hole bolt;
  bolt.kind = Hole::Kind::bolt;
  bolt.entry = piece.frame.to_local({300, 0, 30});
  bolt.direction = piece.frame.direction_to_local({0, 1, 0});
  bolt.diameter = 11;
  bolt.through = true;
  Hole pilot;
  pilot.entry = piece.frame.to_local({700, 22.5, 95});
  pilot.direction = piece.frame.direction_to_local(unit({1, 0, -1}));
  pilot.diameter = 3;
  pilot.depth = 60;
  structure.pieces[0].machining = {bolt, pilot};
  const MarkList list = list_of(structure, "A1");
  ASSERT_EQ(list.marks.size(), 4u);
  // The low edge lies down or up with the frame; the distance is from the one that is named.
  const bool from_bottom = list.marks[1].setting.ends_with("from the bottom");
  EXPECT_EQ(shown(list.marks[1]), from_bottom ? "300 front hole 30 ø11 > bolt [through, from the bottom]"
                                              : "300 front hole 65 ø11 > bolt [through, from the top]");
  const bool from_front = list.marks[2].setting.find("front") != std::string::npos;
  EXPECT_EQ(shown(list.marks[2]),
            fmt::format("700 top hole 22.5 ø3 > pilot hole [60 mm deep, from the {}, slanting 45°]",
                        from_front ? "front" : "back"));
}

TEST(MarkOut, NothingForNothing) { EXPECT_TRUE(mark_out({}).lists.empty()); }

}  // namespace
}  // namespace garthwright::marking
