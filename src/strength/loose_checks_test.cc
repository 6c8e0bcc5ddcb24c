// SPDX-License-Identifier: Apache-2.0
//
// What stands loose: a planter, by sums with its own sizes, through the report that a person gets.
#include <gmock/gmock.h>

#include <cmath>

#include "pattern/patterns_for_tests.h"
#include "strength/duty_loads.h"
#include "strength/site_loads.h"
#include "strength/study.h"
#include "structure/joinery.h"

namespace garthwright::strength {
namespace {

using pattern::testing::built;
using testing::HasSubstr;
using testing::Not;

/// 900 along, 400 deep, three courses of 145 from 25 above the ground, on two bearers of 45 × 45 from front to back.
Structure planter(const std::string& more = "") {
  return built(
      "planter",
      "length = 900\nwidth = 400\ncourses = 3\nboard = 'ledge 28x145'\nbearer = '2x2'\nbearer_every = 900\n" + more);
}
const Check* row(const Report& report, CheckKind kind) {
  for (const Check& c : report.checks)
    if (c.kind == kind) return &c;
  return nullptr;
}
Report checked(const Structure& s, const Site& site = {}) { return study({s}, site, {{}}); }
/// N, of all timbers.
double weight_of(const Structure& s) {
  double n = 0;
  for (const Piece& p : s.pieces) n += p.blank().volume() / 1e9 * s[p.section].density_as_bought_kg_m3 * 9.81;
  return n;
}
/// m³ over the floor boards, to the rim at 25 + 3 · 145 = 460.
double soil_m3(const Structure& s) {
  double all = 0;
  for (const Piece& p : s.pieces)
    if (p.name == "floor board") all += p.length.value() * p.width.value() * (460 - 45 - p.thickness.value()) / 1e9;
  return all;
}
/// N, dry, of all that is within its boards and to 40 below the rim: 1200 kg/m³.
double dry_n() { return 0.844 * 0.344 * 0.353 * 1200 * 9.81; }
/// N, of wind along y: 0.8 on the front, and behind 0.5 + 0.2 (435/400 − 1)/4 = 0.504375, as EN 1991-1-4 Table 7.1 has.
double wind_n(const Site& site) { return wind_pressure(site, 460) * (0.8 + 0.504375) * 900 * 435; }

// Over the back ends of its bearers, at 400 − 28 = 372, wind at half the height of its boards, 25 + 217.5, against
// weights that stand in its middle, 200.
TEST(StandsLoose, TipsOverTheEdgeOfItsFeet) {
  const Structure s = planter();
  const Site site;
  const Report report = checked(s, site);
  const Check* c = row(report, CheckKind::tips);
  ASSERT_NE(c, nullptr);
  const double tips = 1.5 * wind_n(site) * 242.5 / 1e6;
  const double rights = 0.9 * (weight_of(s) + dry_n()) * 172 / 1e6;
  EXPECT_NEAR(c->demand, tips, 1e-3 * tips);
  EXPECT_NEAR(c->capacity, rights, 1e-3 * rights);
  EXPECT_NEAR(c->utilisation, tips / rights, 2e-3);
  EXPECT_EQ(c->verdict, Verdict::ok);
  EXPECT_THAT(c->plain, HasSubstr("Empty it may blow over"));
}

// Sand of 32°: two thirds of it, and of what is left of tan φ by a partial factor of 1.25. 1.3/0.3193 asks more than
// 1.5/0.3906.
TEST(StandsLoose, SlidesOnSandByTwoThirdsOfItsAngle) {
  const Structure s = planter();
  const Site site;
  const Report report = checked(s, site);
  const Check* c = row(report, CheckKind::slides);
  ASSERT_NE(c, nullptr);
  const double angle = 2.0 / 3 * std::atan(std::tan(32 * M_PI / 180) / 1.25);
  const double holds = std::tan(angle) * (weight_of(s) + dry_n()) / 1000;
  EXPECT_NEAR(c->demand, 1.3 * wind_n(site) / 1000, 1e-3);
  EXPECT_NEAR(c->capacity, holds, 1e-3 * holds);
  EXPECT_EQ(c->verdict, Verdict::ok);
}

// On a deck 0.4 with 0.9 and 1.5; and what it weighs wet, 18 kN/m³, over 372 − 28 by its bearers' outer faces is more
// than the 2 kN/m² that a floor is made for.
TEST(StandsLoose, AskDecksForMoreThanTheyAreMadeFor) {
  const Structure s = planter("stands_on = 'deck'");
  Site calm;
  calm.wind_m_s = 0.1;
  const Report report = checked(s, calm);
  const Check* sinks = row(report, CheckKind::sinks);
  ASSERT_NE(sinks, nullptr);
  double left = 1e9, right = -1e9;
  for (const Piece& p : s.pieces)
    if (p.name == "bearer") {
      const Box box = world_box(p.frame, p.blank());
      left = std::min(left, box.min.x), right = std::max(right, box.max.x);
    }
  const double kpa = (weight_of(s) / 1000 + soil_m3(s) * 18) / ((right - left) * 344 / 1e6);
  EXPECT_NEAR(sinks->demand, kpa, 0.01 * kpa);
  EXPECT_EQ(sinks->capacity, 2);
  EXPECT_EQ(sinks->verdict, Verdict::fails);
  const Report windy = checked(s);
  EXPECT_NEAR(row(windy, CheckKind::slides)->capacity, 0.4 * 0.9 * (weight_of(s) + dry_n()) / 1000, 1e-3);
  const Report on_stone = checked(planter("stands_on = 'paving'"));
  EXPECT_EQ(row(on_stone, CheckKind::sinks), nullptr);
}

// In still air each of its two feet bears half of it, over 344 × 45.
TEST(StandsLoose, PressesTheGroundUnderItsFeet) {
  const Structure s = planter();
  Site calm;
  calm.wind_m_s = 0.1;
  const Report report = checked(s, calm);
  const Check* c = row(report, CheckKind::sinks);
  ASSERT_NE(c, nullptr);
  const double kpa = (weight_of(s) / 1000 + soil_m3(s) * 18) / 2 / (344.0 * 45 / 1e6);
  EXPECT_NEAR(c->demand, kpa, 0.02 * kpa);
  EXPECT_NEAR(c->capacity, 95.8, 0.05);
}

// Without soil it blows over; with no soil in the sum the words say nothing of it.
TEST(StandsLoose, FailsWhereItsWeightIsTooLittle) {
  Structure s = planter();
  s.soil_kg_m3 = 0;
  const Report report = checked(s);
  EXPECT_EQ(row(report, CheckKind::tips)->verdict, Verdict::fails);
  EXPECT_THAT(row(report, CheckKind::tips)->plain, Not(HasSubstr("soil")));
  EXPECT_EQ(row(report, CheckKind::slides)->verdict, Verdict::fails);
}

/// A post of 145 × 145 of 600 kg/m³ that stands on sand by nothing but its weight.
Structure standing_post(double high) {
  Structure s;
  s.name = "post";
  s.sections.resize(1);
  s.sections[0].strength_class = "C24", s.sections[0].density_as_bought_kg_m3 = 600;
  s.sections[0].width_mm = s.sections[0].thickness_mm = 145;
  Piece post;
  post.name = "post", post.mark = "A1", post.role = Role::post, post.section = SectionId{0};
  post.width = 145, post.thickness = 145, post.length = high;
  post.frame = {{0, 0, 0}, {0, 0, 1}, {1, 0, 0}, {0, 1, 0}};
  s.pieces.push_back(post);
  EXPECT_TRUE(stand_loose(s, PieceId{0}, Floor::ground).has_value());
  return s;
}

// The ground gives 0.03 N/mm³, near the corners of its foot: 0.03 · 145² · (0.94 · 72.5)² N·mm turn it by 1 rad, 1.35
// times its weight at half its height turns it on. Its own bending takes less than two parts in a hundred.
TEST(StandsLoose, LeansOnTheGroundBelowIt) {
  for (const double high : {1500.0, 2500.0, 5500.0}) {
    const Report report = checked(standing_post(high));
    const Check* c = row(report, CheckKind::buckling);
    ASSERT_NE(c, nullptr);
    const double out = 0.94 * 72.5;  // where an opened face presses (kRocksOn)
    const double holds = 0.03 * 145 * 145 * out * out;
    const double turns = 1.35 * 145 * 145 * high * 600e-9 * 9.81 * high / 2;
    EXPECT_NEAR(c->capacity, holds / turns, 0.02 * holds / turns) << high;
    EXPECT_EQ(c->verdict, high < 2000 ? Verdict::ok : high < 4000 ? Verdict::attention : Verdict::fails) << high;
  }
}

// Its short boards hang on one screw at each post, and stand open at their mitres by hundredths of a millimetre: with
// the faces as its weight leaves them it would fold at 0.07 of its load.
TEST(StandsLoose, FoldsUpNoFurtherThanItsMitresShut) {
  const pattern::testing::Made made = pattern::testing::make("planter", "length = 600\nwidth = 400", "", "mill-creek");
  Site site;
  site.route = Site::Route::us;
  const Report report = study({made.structure}, site, {{}});
  const Check* c = row(report, CheckKind::buckling);
  ASSERT_NE(c, nullptr);
  EXPECT_GT(c->capacity, 10);
  EXPECT_EQ(c->verdict, Verdict::ok);
}

// What posts hold asks nothing of friction.
TEST(StandsLoose, IsAskedOfNothingThatPostsHold) {
  Structure s = built("table-bed", "");
  s.feet.push_back({PieceId{0}, {{0, 0, 0}, {0, 100, 0}, {100, 100, 0}, {100, 0, 0}}, Floor::ground});
  const Report report = study({s}, {}, {{s.footings.size(), BaseSpring{400, 4e7, 430}}});
  for (const CheckKind kind : {CheckKind::tips, CheckKind::slides, CheckKind::sinks})
    EXPECT_EQ(row(report, kind), nullptr);
}

// On a board of 145 x 28 that leans outwards by 10° stands the soil over it: of the push on all its height, 0.5 γ z
// (145 cos 10° + 28 sin 10°), and the weight, γ z 145 sin 10°, the one is 0.34104 of the other.
TEST(Soil, StandsOnBoardsThatLeanOutwards) {
  const Structure s = built("planter", "splay = 10\nboard = 'ledge 28x145'");
  const Model m = model_of(s, {});
  int leaning = 0;
  for (const frame::MemberLoad& l : soil_push(s, m, true, 0).on_members)
    for (const Bar& bar : m.bars)
      if (bar.member == l.member && s[bar.piece].name.ends_with("board") && s[bar.piece].name != "floor board") {
        const auto& q = l.uniform_n_per_mm;
        EXPECT_NEAR(-q[2] / std::hypot(q[0], q[1]), 0.341042, 1e-6);
        ++leaning;
      }
  EXPECT_GT(leaning, 8);
}

}  // namespace
}  // namespace garthwright::strength
