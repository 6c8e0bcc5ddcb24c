// SPDX-License-Identifier: Apache-2.0
#include "marking/curve.h"

#include <gtest/gtest.h>

#include <cmath>

#include "marking/blades.h"
#include "marking/templates.h"
#include "structure/joinery.h"
#include "structure/marks.h"
#include "structure/profile.h"

namespace garthwright::marking {
namespace {

// ---- building -------------------------------------------------------------------------------------------------------

Stroke cubic(Spot c1, Spot c2, Spot to) {
  Stroke s;
  s.kind = Stroke::Kind::cubic;
  s.c1x = c1.x, s.c1y = c1.y, s.c2x = c2.x, s.c2y = c2.y, s.x = to.x, s.y = to.y;
  return s;
}
Stroke straight(Spot to) {
  Stroke s;
  s.x = to.x, s.y = to.y;
  return s;
}
ShapedEnd path_of(Spot from, std::vector<Stroke> strokes) { return {End::start, "free", from.x, from.y, strokes}; }

/// The template of a board of 145 × 45 with both ends shaped.
Template template_of(const ShapedEnd& shape, double thickness = 45, const Saw& saw = {}) {
  Structure s;
  s.sections.resize(1);
  Piece piece;
  piece.name = "beam";
  piece.mark = "H1";
  piece.section = SectionId{0};
  piece.length = 1800;
  piece.width = 145;
  piece.thickness = thickness;
  piece.machining = {shape};
  s.pieces = {piece};
  return templates({{s}}, saw).front();
}

ShapedEnd named(const char* profile, End end = End::start, bool under_high = true) {
  return shaped_end(*named_profile(profile), end, 1800, 145, under_high);
}

bool says(const Template& t, const std::string& start) {
  for (const std::string& line : t.attention)
    if (line.starts_with(start)) return true;
  return false;
}

// ---- bends ----------------------------------------------------------------------------------------------------------

// Struck with compasses: the ogee's quadrants have half of what is shaped of 145 mm as radius, (145 - 36.25) / 2.
TEST(Bend, OfAnOgeeIsTheRadiusOfItsQuadrants) {
  EXPECT_NEAR(tightest_bend(named("ogee"))->radius_mm, 54.375, 1e-9);
  EXPECT_FALSE(tightest_bend(named("bevel")).has_value());
}

// y = x²/2p bends most at its foot, with radius p. A parabola is a cubic whose handles are two thirds out.
TEST(Bend, OfAParabolaIsItsParameter) {
  const double p = 30, a = 40;
  // Quadratic points (-a, a²/2p), (0, -a²/2p), (a, a²/2p), raised to a cubic.
  const double h = a * a / (2 * p);
  const ShapedEnd path = path_of({-a, h}, {cubic({-a / 3, -h / 3}, {a / 3, -h / 3}, {a, h})});
  const auto bend = tightest_bend(path);
  ASSERT_TRUE(bend);
  EXPECT_NEAR(bend->radius_mm, p, 1e-3);
  EXPECT_NEAR(bend->at.x, 0, 0.4);
}

TEST(Fairness, FindsKinksAndBumpsAndLeavesFairCurvesAlone) {
  for (const char* name : {"ogee", "cove", "quarter round"}) EXPECT_TRUE(unfair_places(named(name)).empty()) << name;
  // The two halves of a smooth sweep, and the same with the second bent away by some 17 degrees.
  EXPECT_TRUE(
      unfair_places(path_of({100, 100}, {cubic({80, 100}, {60, 95}, {50, 85}), cubic({40, 75}, {30, 60}, {28, 40})}))
          .empty());
  const auto kinked =
      unfair_places(path_of({100, 100}, {cubic({80, 100}, {60, 95}, {50, 85}), cubic({44, 75}, {30, 60}, {28, 40})}));
  ASSERT_FALSE(kinked.empty());
  EXPECT_EQ(kinked[0].kind, Unfair::Kind::kink);
  EXPECT_NEAR(kinked[0].kink_deg, std::atan2(10, 6) * 180 / std::acos(-1) - 45, 0.01);
  // A wide bend, nearly straight, and a second bend the same way: a bump.
  const auto bumped =
      unfair_places(path_of({0, 0}, {cubic({30, 0}, {40, 2}, {50, 12}), cubic({60, 22}, {80, 42}, {90, 52}),
                                     cubic({100, 62}, {102, 80}, {102, 100})}));
  ASSERT_EQ(bumped.size(), 1u);
  EXPECT_EQ(bumped[0].kind, Unfair::Kind::bump);
}

TEST(Eased, BendsNoMoreThanAskedAndKeepsItsEnds) {
  const ShapedEnd tight = path_of({60, 145}, {cubic({60, 60}, {50, 50}, {0, 50}), straight({0, 0})});
  for (const double radius : {30.0, 60.0, 150.0}) {
    const ShapedEnd easy = eased(tight, radius);
    const auto bend = tightest_bend(easy);
    if (bend) {
      EXPECT_GE(bend->radius_mm, radius * 0.999);
    }
    EXPECT_DOUBLE_EQ(easy.start_x, 60);
    EXPECT_NEAR(easy.strokes[0].x, 0, 1e-9);
    EXPECT_NEAR(easy.strokes[0].y, 50, 1e-9);
  }
  // The quick ogee eased to a radius of its chords becomes the flat one: arcs of 60 degrees (Nicholson's construction),
  // still without a kink in the middle.
  const ShapedEnd quick = named("ogee");
  const double chord = 54.375 * std::sqrt(2.0);
  const ShapedEnd flat = eased(quick, chord);
  EXPECT_NEAR(tightest_bend(flat)->radius_mm, chord, 1e-9);
  EXPECT_TRUE(unfair_places(flat).empty());
  // A path that is followed already stays as it is.
  EXPECT_NEAR(departure(eased(quick, 40), quick), 0, 1e-9);
  EXPECT_GT(departure(flat, quick), 1);
}

// ---- blades ---------------------------------------------------------------------------------------------------------

TEST(Blades, FollowTheTable) {
  EXPECT_EQ(widest_for(CurveTool::bandsaw, 64, 40)->inches, "1/2");
  EXPECT_EQ(widest_for(CurveTool::bandsaw, 63.9, 40)->inches, "3/8");
  EXPECT_EQ(widest_for(CurveTool::bandsaw, 64, 45)->inches, "3/8") << "a quarter more in thick timber";
  EXPECT_EQ(widest_for(CurveTool::bandsaw, 4, 40), nullptr);
  EXPECT_EQ(widest_for(CurveTool::jigsaw, 12, 40), nullptr) << "scroll blades are for thin boards";
  EXPECT_DOUBLE_EQ(widest_for(CurveTool::jigsaw, 12, 18)->width_mm, 5);
  Saw saw;
  saw.curve_tool = CurveTool::bandsaw;
  saw.blade_mm = 13;
  EXPECT_EQ(blade_in_use(saw, 45).inches, "1/2");
}

TEST(Blades, ATooTightCurveIsToldWithTheNearestThatWorks) {
  Saw saw;
  saw.curve_tool = CurveTool::bandsaw;
  saw.blade_mm = 12.7;
  const Template t = template_of(named("ogee"), 45, saw);
  ASSERT_TRUE(says(t,
                   "Too tight: a bandsaw blade 13 mm (1/2 in) in timber 45 mm thick follows a radius of 80 mm, "
                   "this curve asks for 54 mm."));
  ASSERT_TRUE(t.easier.has_value());
  EXPECT_NEAR(tightest_bend(*t.easier)->radius_mm, 80, 1e-9);
  saw.blade_mm = 6;
  EXPECT_FALSE(template_of(named("ogee"), 45, saw).easier.has_value());
}

// ---- templates ------------------------------------------------------------------------------------------------------

TEST(Templates, AreTheSameWhicheverEndAndEdgeTheyAreSawnAt) {
  const auto a = points_along(template_of(named("ogee", End::start, true)).path, 0.05);
  for (const End end : {End::start, End::finish}) {
    for (const bool under_high : {true, false}) {
      const auto b = points_along(template_of(named("ogee", end, under_high)).path, 0.05);
      ASSERT_EQ(a.size(), b.size());
      for (std::size_t i = 0; i < a.size(); ++i) {
        EXPECT_NEAR(a[i].x, b[i].x, 1e-9);
        EXPECT_NEAR(a[i].y, b[i].y, 1e-9);
      }
    }
  }
}

// The quarter round of 145 mm: nose 36.25, radius 108.75 about (108.75, 36.25) from the tip and the whole edge.
TEST(Templates, OrdinatesLieOnTheCircle) {
  const Template t = template_of(named("quarter round"));
  for (const Ordinate& o : ordinate_table(t, ordinate_step(Units::mm))) {
    ASSERT_EQ(o.to_line.size(), 1u);
    const double off = 108.75 - o.station;
    EXPECT_NEAR(o.to_line[0], 36.25 + std::sqrt(std::max(0.0, 108.75 * 108.75 - off * off)), 0.3) << o.station;
    if (o.station > 5) {
      EXPECT_NEAR(o.to_line[0], 36.25 + std::sqrt(108.75 * 108.75 - off * off), 0.02) << o.station;
    }
  }
  EXPECT_EQ(ordinate_table(t, 10).size(), 12u) << "0, 10 … 100, and where it ends";
  EXPECT_DOUBLE_EQ(ordinate_step(Units::feet_inches), 12.7);
}

TEST(Templates, WarnOfFeatherEndsAndShortGrain) {
  for (const char* name : {"ogee", "cove", "quarter round", "bevel"}) {
    EXPECT_TRUE(template_of(named(name)).attention.empty()) << name;
  }
  // Runs out to 4 mm at the tip.
  const Template feather = template_of(path_of({120, 145}, {straight({0, 4})}));
  EXPECT_TRUE(says(feather, "Feather end: 4")) << testing::PrintToString(feather.attention);
  // A hook that hangs down 25 mm wide at the tip: its fibres are cut off behind.
  const Template hook = template_of(path_of({120, 145}, {straight({120, 60}), straight({25, 60}), straight({25, 110}),
                                                         straight({0, 110}), straight({0, 0})}));
  EXPECT_TRUE(says(hook, "Short grain: the fibres are only 25 mm long")) << testing::PrintToString(hook.attention);
}

TEST(Templates, HaveFileNamesOfTheirOwn) {
  std::vector<Template> all(3);
  all[0].mark = all[1].mark = all[2].mark = "H1";
  all[0].ends = Template::Ends::both;
  all[1].ends = all[2].ends = Template::Ends::far;
  EXPECT_EQ(file_stem(all[0], all), "H1-both");
  EXPECT_EQ(file_stem(all[1], all), "H1-far");
  EXPECT_EQ(file_stem(all[2], all), "H1-far-2");
}

}  // namespace
}  // namespace garthwright::marking
