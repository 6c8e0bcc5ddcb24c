// SPDX-License-Identifier: Apache-2.0
#include "structure/joinery.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>

#include "structure/profile.h"
#include "structure/saw.h"
#include "structure/touch.h"

namespace garthwright {
namespace {

timber::Section sized(const std::string& name, double width, double thickness) {
  timber::Section section;
  section.name = name;
  section.width_mm = width;
  section.thickness_mm = thickness;
  return section;
}

/// A structure with one section to take timbers from, and pieces placed in one line each.
struct Yardstick {
  Structure structure;

  Yardstick() { structure.sections.push_back(sized("4x2", 95, 45)); }

  PieceId timber(const std::string& name, Way runs, Way wide, double length, std::array<Traced, 3> low,
                 double width = 95, double thickness = 45) {
    Placing placing;
    placing.name = name;
    placing.section = {0};
    placing.length = length;
    placing.width = width;
    placing.thickness = thickness;
    placing.runs = runs;
    placing.wide = wide;
    placing.low = low;
    return *place(structure, placing);
  }
  const Notch& notch(PieceId id, std::size_t i) { return std::get<Notch>(structure[id].machining.at(i)); }
};

TEST(Place, StandsWhereItsLowCornerIsWhicheverWayItRuns) {
  for (const Way runs : {Way::right, Way::left, Way::back, Way::front, Way::up, Way::down}) {
    for (const Way wide : {Way::right, Way::back, Way::up}) {
      if (axis(runs) == axis(wide)) continue;
      Yardstick y;
      const PieceId id = y.timber("post", runs, wide, 1000, {10, 20, 30});
      const Box box = world_box(y.structure, body(id));
      EXPECT_EQ(box.min, (Vec3{10, 20, 30}));
      EXPECT_DOUBLE_EQ(box.size()[axis(runs)], 1000);
      EXPECT_DOUBLE_EQ(box.size()[axis(wide)], 95);
      EXPECT_DOUBLE_EQ(box.volume(), 1000.0 * 95 * 45);
      EXPECT_DOUBLE_EQ(face(y.structure, body(id), runs).value(),
                       is_positive(runs) ? box.max[axis(runs)] : box.min[axis(runs)]);
    }
  }
}

TEST(Butt, IsAsLongAsTheRoomAndSaysWhy) {
  Yardstick y;
  const Traced panel = Traced::named("panel width", 900);
  const PieceId front = y.timber("post", Way::up, Way::back, 2000, {0, 0, 0});
  const PieceId back = y.timber("post", Way::up, Way::back, 2000, {0, 95 + panel, 0});
  Placing rail;
  rail.name = "rail";
  rail.section = {0};
  rail.width = 95, rail.thickness = 45;
  rail.runs = Way::back, rail.wide = Way::up;
  rail.low = {0, 0, 1000};
  const Result<PieceId> id = butt_between(y.structure, rail, body(front), body(back));
  ASSERT_TRUE(id);
  EXPECT_EQ(y.structure[*id].length.sum(), "panel width 900");
  ASSERT_EQ(y.structure.joints.size(), 2u);
  EXPECT_NEAR(area(y.structure.joints[0].patch), 95 * 45, 1e-6);
}

TEST(Butt, HasNoRoomBetweenPiecesThatOverlap) {
  Yardstick y;
  const PieceId a = y.timber("post", Way::up, Way::back, 2000, {0, 0, 0});
  const PieceId b = y.timber("post", Way::up, Way::back, 2000, {0, 60, 0});
  Placing rail;
  rail.name = "rail";
  rail.section = {0};
  rail.width = 95, rail.thickness = 45;
  rail.runs = Way::back, rail.wide = Way::up;
  const Result<PieceId> id = butt_between(y.structure, rail, body(a), body(b));
  ASSERT_FALSE(id);
  EXPECT_EQ(id.error().front().code, "no-length");
}

// A rafter 95 deep let down onto a beam that stands 50 above the rafter's underside: each gives half, 25.
TEST(Cross, HalvesTheSharedDepthBetweenBoth) {
  Yardstick y;
  const Traced overhang = Traced::named("overhang", 200);
  const PieceId beam = y.timber("beam", Way::right, Way::up, 2000, {-500, overhang, -95}, 145, 45);
  const PieceId rafter = y.timber("rafter", Way::back, Way::up, 1200, {300, 0, 0});
  ASSERT_TRUE(cross(y.structure, {rafter, beam, Way::down, 0.5, 0}));
  const Notch& in_rafter = y.notch(rafter, 0);
  EXPECT_DOUBLE_EQ(in_rafter.from.value(), 200);
  EXPECT_EQ(in_rafter.from.sum(), "overhang 200");
  EXPECT_DOUBLE_EQ(in_rafter.wide.value(), 45);
  EXPECT_DOUBLE_EQ(in_rafter.deep.value(), 25);
  EXPECT_EQ(in_rafter.opens_on, Face::edge_low);
  const Notch& in_beam = y.notch(beam, 0);
  EXPECT_DOUBLE_EQ(in_beam.from.value(), 800);
  EXPECT_DOUBLE_EQ(in_beam.deep.value(), 25);
  EXPECT_EQ(in_beam.opens_on, Face::edge_high);
  EXPECT_DOUBLE_EQ(y.structure.joints[0].point.z, 25);
}

TEST(Cross, CutsTheNotchWiderByTheFit) {
  Yardstick y;
  const PieceId beam = y.timber("beam", Way::right, Way::up, 2000, {-500, 200, -95}, 145, 45);
  const PieceId rafter = y.timber("rafter", Way::back, Way::up, 1200, {300, 0, 0});
  ASSERT_TRUE(cross(y.structure, {rafter, beam, Way::down, 0.5, 1.0}));
  EXPECT_DOUBLE_EQ(y.notch(rafter, 0).from.value(), 199.5);
  EXPECT_DOUBLE_EQ(y.notch(rafter, 0).wide.value(), 46);
  EXPECT_DOUBLE_EQ(y.notch(rafter, 0).region.size().x, 46);
}

TEST(Cross, RefusesTimbersThatMissOrWouldPassThrough) {
  Yardstick y;
  const PieceId beam = y.timber("beam", Way::right, Way::up, 2000, {-500, 200, -145}, 145, 45);
  const PieceId above = y.timber("rafter", Way::back, Way::up, 1200, {300, 0, 10});
  const PieceId through = y.timber("rafter", Way::back, Way::up, 1200, {300, 0, -200}, 300);
  EXPECT_EQ(cross(y.structure, {above, beam, Way::down, 0.5, 0}).error().front().code, "no-crossing");
  EXPECT_EQ(cross(y.structure, {through, beam, Way::down, 0.5, 0}).error().front().code, "no-entry");
  EXPECT_TRUE(y.structure[beam].machining.empty());
}

// Property: whatever the sizes, the two halves together lose exactly the volume the blanks share (no fit).
TEST(Cross, TogetherBothLoseExactlyTheSharedVolume) {
  std::mt19937 random(11);
  std::uniform_real_distribution<double> size(20, 200), part(0.05, 0.95);
  for (int i = 0; i < 200; ++i) {
    Yardstick y;
    const double beam_deep = size(random), thick_a = size(random), thick_b = size(random), deep = size(random);
    const double shared = std::min(beam_deep, deep) * part(random);
    const PieceId beam =
        y.timber("beam", Way::right, Way::up, 2000, {-500, 300, shared - beam_deep}, beam_deep, thick_a);
    const PieceId rafter = y.timber("rafter", Way::back, Way::up, 1200, {300, 0, 0}, deep, thick_b);
    ASSERT_TRUE(cross(y.structure, {rafter, beam, Way::down, part(random), 0}));
    const double lost = y.notch(rafter, 0).region.volume() + y.notch(beam, 0).region.volume();
    EXPECT_NEAR(lost, shared * thick_a * thick_b, 1e-6 * lost);
  }
}

// Long edge a√2, short edge L − 2b for width b, both ends at 45°: common practice, no source.
TEST(Brace, IsATrapezoidWithItsLongEdgeLegTimesRootTwo) {
  Yardstick y;
  const PieceId post = y.timber("post", Way::up, Way::back, 2100, {-95, 0, 0}, 95, 95);
  Bracing bracing;
  bracing.name = "brace";
  bracing.section = {0};
  bracing.width = 95, bracing.thickness = 45;
  bracing.foot = body(post);
  bracing.foot_face = Way::right;
  bracing.head_level = 2100;
  bracing.leg_foot = bracing.leg_head = Traced::named("brace leg", 500);
  bracing.low_across = 20;
  const Result<PieceId> id = brace(y.structure, bracing);
  ASSERT_TRUE(id);
  const Piece& piece = y.structure[*id];
  EXPECT_NEAR(piece.length.value(), 500 * std::numbers::sqrt2, 1e-9);
  EXPECT_EQ(piece.length.sum(), "brace leg 500 × √2");
  for (const Machining& m : piece.machining) {
    EXPECT_NEAR(saw_setting(std::get<EndCut>(m)).mitre_deg, 45, 1e-9);
    EXPECT_NEAR(saw_setting(std::get<EndCut>(m)).bevel_deg, 0, 1e-9);
  }
  // Its foot lies flat on the post: the mitred face is width × √2 long.
  EXPECT_NEAR(area(y.structure.joints[0].patch), 95 * std::numbers::sqrt2 * 45, 1e-6);
  EXPECT_NEAR(face(y.structure, body(*id), Way::left).value(), 0, 1e-9);
  EXPECT_NEAR(face(y.structure, body(*id), Way::up).value(), 2100, 1e-9);
  EXPECT_NEAR(face(y.structure, body(*id), Way::front).value(), 20, 1e-9);
}

TEST(Brace, UnequalLegsGiveAnglesThatAddUpToNinety) {
  Yardstick y;
  const PieceId post = y.timber("post", Way::up, Way::back, 2100, {0, 0, 0}, 95, 95);
  Bracing bracing;
  bracing.name = "brace";
  bracing.section = {0};
  bracing.width = 70, bracing.thickness = 45;
  bracing.foot = body(post);
  bracing.foot_face = Way::left;
  bracing.head_level = 2000;
  bracing.leg_foot = 600, bracing.leg_head = 450;
  const Result<PieceId> id = brace(y.structure, bracing);
  ASSERT_TRUE(id);
  const auto& machining = y.structure[*id].machining;
  const double foot = saw_setting(std::get<EndCut>(machining[0])).mitre_deg;
  const double head = saw_setting(std::get<EndCut>(machining[1])).mitre_deg;
  EXPECT_NEAR(y.structure[*id].length.value(), 750, 1e-9);
  EXPECT_NEAR(foot, std::atan2(600, 450) * 180 / std::numbers::pi, 1e-9);
  EXPECT_NEAR(foot + head, 90, 1e-9);
}

TEST(Brace, NeedsLegsThatLeaveRoomForItsWidth) {
  Yardstick y;
  const PieceId post = y.timber("post", Way::up, Way::back, 2100, {0, 0, 0});
  Bracing bracing;
  bracing.name = "brace";
  bracing.section = {0};
  bracing.width = 95, bracing.thickness = 45;
  bracing.foot = body(post);
  bracing.head_level = 2100;
  bracing.leg_foot = bracing.leg_head = 130;
  const Result<PieceId> id = brace(y.structure, bracing);
  ASSERT_FALSE(id);
  EXPECT_EQ(id.error().front().code, "brace-too-short");
  EXPECT_EQ(id.error().front().cure, "legs of 136 mm or more would do");
}

// Property: whatever its ends, a strut's world box fills exactly the room from foot face to head face and from `from`
// to `to` once its ends are cut, whichever way it leans.
TEST(Strut, FillsTheRoomBetweenItsEnds) {
  std::mt19937 random(5);
  std::uniform_real_distribution<double> size(200, 1200);
  for (int i = 0; i < 100; ++i) {
    Yardstick y;
    const double high = size(random), run = size(random);
    const PieceId lower = y.timber("ledge", Way::right, Way::up, 4000, {-1500, 0, 0});
    const PieceId upper = y.timber("ledge", Way::right, Way::up, 4000, {-1500, 0, 95 + high});
    Strutting strutting;
    strutting.name = "brace";
    strutting.section = {0};
    strutting.width = 95, strutting.thickness = 45;
    strutting.foot = body(lower), strutting.head = body(upper);
    const bool leans_left = i % 2 == 1;
    strutting.from = leans_left ? run : 0.0;
    strutting.to = leans_left ? 0.0 : run;
    const Result<PieceId> id = strut(y.structure, strutting);
    ASSERT_TRUE(id) << high << " " << run << ": " << to_string(id.error().front());
    Box room{{1e9, 1e9, 1e9}, {-1e9, -1e9, -1e9}};
    for (const FlatFace& f : flat_faces(y.structure, body(*id)))
      for (const Vec3& corner : f.outline) room = enclosing(room, {corner, corner});
    EXPECT_NEAR(room.min.x, 0, 1e-6);
    EXPECT_NEAR(room.max.x, run, 1e-6);
    EXPECT_NEAR(room.min.z, 95, 1e-6);
    EXPECT_NEAR(room.max.z, 95 + high, 1e-6);
    EXPECT_NEAR(room.size().y, 45, 1e-6);
    EXPECT_EQ(y.structure.joints.size(), 2u);
  }
}

TEST(Fasten, ChoosesTheShortestScrewThatHoldsAndDoesNotComeOut) {
  Yardstick y;
  const PieceId board = y.timber("board", Way::right, Way::up, 600, {0, 0, 0}, 95, 22);
  const PieceId post = y.timber("post", Way::up, Way::back, 1000, {250, 22, -100}, 95, 95);
  ASSERT_TRUE(join(y.structure, JointKind::face, body(board), body(post)));
  const auto screw = [](double length) {
    timber::FixingItem item;
    item.name = "screw 5x" + std::to_string(static_cast<int>(length));
    item.diameter_mm = 5;
    item.length_mm = length;
    return item;
  };
  const std::vector<timber::FixingItem> sold{screw(100), screw(50), screw(60), screw(40)};
  FixingsByBody set;
  ASSERT_TRUE(fasten(y.structure, set, {{body(board), body(post)}, {timber::FixingKind::screw, 0, ""}, 2}, sold));
  ASSERT_EQ(y.structure.fixings.size(), 2u);
  EXPECT_EQ(y.structure.fixings[0].item, "screw 5x60");  // 22 + 6 × 5 = 52
  EXPECT_DOUBLE_EQ(y.structure.fixings[0].head.y, 0);
  EXPECT_TRUE(is_fixed(y.structure, y.structure.joints[0]));
  const std::vector<timber::FixingItem> too_long{screw(150)};
  const Result<Diagnostics> none =
      fasten(y.structure, set, {{body(board), body(post)}, {timber::FixingKind::screw, 0, ""}, 2}, too_long);
  ASSERT_FALSE(none);
  EXPECT_EQ(none.error().front().code, "no-fixing");
  EXPECT_EQ(y.structure.fixings.size(), 2u);
}

TEST(Mirror, CopiesMachiningJointsAndFixingsToTheOtherSide) {
  Yardstick y;
  const PieceId post = y.timber("post", Way::up, Way::back, 2000, {-45, 0, 0});
  const PieceId beam = y.timber("beam", Way::right, Way::up, 400, {-200, 20, 1950}, 95, 45);
  y.structure[post].where = "left front";
  ASSERT_TRUE(cross(y.structure, {beam, post, Way::down, 0.4, 0}));
  const std::size_t joints = y.structure.joints.size();
  const Result<std::vector<Body>> copies = mirror(y.structure, {body(post), body(beam)}, Way::right, 600);
  ASSERT_TRUE(copies);
  const PieceId copy{(*copies)[0].index};
  EXPECT_EQ(y.structure[copy].where, "right front");
  EXPECT_DOUBLE_EQ(face(y.structure, body(copy), Way::left).value(), 1200);
  EXPECT_EQ(y.structure.joints.size(), 2 * joints);
  const Frame& frame = y.structure[copy].frame;
  EXPECT_NEAR(dot(cross(frame.x, frame.y), frame.z), 1, 1e-12) << "right-handed";
  const Box box = world_box(y.structure, body(copy)), original = world_box(y.structure, body(post));
  EXPECT_NEAR(box.min.x, 1200 - original.max.x, 1e-9);
}

// A bearer stands on its underside, a post on its foot; what is mirrored stands there too.
TEST(StandLoose, BearsOnTheLowestLevelFace) {
  Yardstick y;
  const PieceId bearer = y.timber("bearer", Way::back, Way::up, 400, {0, 0, 0});
  const PieceId post = y.timber("post", Way::up, Way::back, 700, {100, 0, -20});
  ASSERT_TRUE(stand_loose(y.structure, bearer, Floor::paving));
  ASSERT_TRUE(stand_loose(y.structure, post, Floor::ground));
  const auto reach = [&](std::size_t foot) {
    Box box{y.structure.feet[foot].face.front(), y.structure.feet[foot].face.front()};
    for (const Vec3& corner : y.structure.feet[foot].face) box = enclosing(box, {corner, corner});
    return box;
  };
  ASSERT_EQ(y.structure.feet.size(), 2U);
  EXPECT_EQ(reach(0), (Box{{0, 0, 0}, {45, 400, 0}}));
  EXPECT_EQ(reach(1), (Box{{100, 0, -20}, {145, 95, -20}}));
  ASSERT_TRUE(mirror(y.structure, {body(bearer)}, Way::right, 500));
  ASSERT_EQ(y.structure.feet.size(), 3U);
  EXPECT_EQ(reach(2), (Box{{955, 0, 0}, {1000, 400, 0}}));
  EXPECT_EQ(y.structure.feet[2].on, Floor::paving);
}

TEST(Profile, MeetsTheUndersideAsFarInAsItIsHigh) {
  for (const std::string& name : profile_names()) {
    if (name == "square") continue;
    for (const End end : {End::start, End::finish}) {
      for (const bool under_high : {false, true}) {
        const ShapedEnd shape = shaped_end(*named_profile(name), end, 1000, 145, under_high);
        const double size = 145 - nose_height(145), in = end == End::start ? size : 1000 - size;
        EXPECT_DOUBLE_EQ(shape.start_y, 0);
        EXPECT_DOUBLE_EQ(shape.strokes.back().y, 145);
        EXPECT_NEAR(under_high ? shape.strokes.back().x : shape.start_x, in, 1e-9) << name;
        for (const Stroke& s : shape.strokes)
          if (s.kind == Stroke::Kind::arc) {
            EXPECT_GT(std::hypot(s.x - s.centre_x, s.y - s.centre_y), 20) << name;
          }
      }
    }
  }
}

TEST(Profile, ADrawnCurveStaysInsideTheSection) {
  EXPECT_TRUE(free_profile({{0, 1}, {0.3, 1}, {0.7, 0}, {1, 0}}));
  EXPECT_EQ(free_profile({{0, 1}, {0.3, 1.2}, {0.7, 0}, {1, 0}}).error().front().code, "bad-curve");
  EXPECT_EQ(free_profile({{0, 1}, {1, 0}}).error().front().code, "bad-curve");
  EXPECT_EQ(free_profile({{0, 0.9}, {0.3, 1}, {0.7, 0}, {1, 0}}).error().front().code, "bad-curve");
}

}  // namespace
}  // namespace garthwright
