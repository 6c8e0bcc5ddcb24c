// SPDX-License-Identifier: Apache-2.0
#include "strength/durability.h"

#include <gmock/gmock.h>

#include "strength/checks.h"
#include "structure/check_words.h"

namespace garthwright::strength {
namespace {

using namespace durability;
using testing::HasSubstr;

/// One post, 95 × 95 and 3 m, 0.75 m of it in the ground.
Structure post_of(const std::string& treatment, const std::string& species, double size = 95) {
  Structure s;
  s.name = "post";
  s.sections.resize(1);
  s.sections[0].treatment = treatment, s.sections[0].species = species;
  s.sections[0].width_mm = s.sections[0].thickness_mm = size;
  Piece post;
  post.name = "post", post.mark = "A1", post.role = Role::post, post.section = SectionId{0};
  post.width = size, post.thickness = size, post.length = 3000;
  post.frame = {{0, 0, -750}, {0, 0, 1}, {1, 0, 0}, {0, 1, 0}};
  s.pieces.push_back(post);
  s.footings.push_back({PieceId{0}, {50, 50, 0}, 300, 850, 100, "postmix"});
  return s;
}
std::vector<Check> checked(const Structure& s) {
  std::vector<Check> checks;
  check_durability(s, checks);
  return checks;
}
const Check* row(const std::vector<Check>& checks, CheckKind kind) {
  for (const Check& c : checks)
    if (c.kind == kind) return &c;
  return nullptr;
}

// BS 8417: the basic service life is 15 years, 30 where that was ordered.
TEST(GroundLine, TreatedPostsLastFifteenYears) {
  for (const char* treatment : {"UC4", "UC4A", "UC4B"}) {
    const std::vector<Check> checks = checked(post_of(treatment, "spruce-pine"));
    const Check* c = row(checks, CheckKind::ground_line);
    ASSERT_NE(c, nullptr);
    EXPECT_EQ(c->capacity, 15) << treatment;
    EXPECT_EQ(c->verdict, Verdict::ok);
  }
}

// EN 350 and BRE Digest 429: stakes of 50 mm last over 25, 15 to 25, 10 to 15, 5 to 10 years, and less than 5.
TEST(GroundLine, UntreatedOnesByTheirWood) {
  EXPECT_EQ(stake_years(1), 25);
  EXPECT_EQ(stake_years(2), 15);
  EXPECT_EQ(stake_years(3), 10);
  EXPECT_EQ(stake_years(4), 5);
  EXPECT_LT(stake_years(5), 5);
  // Oak of 100 mm: twice the stake's.
  EXPECT_EQ(ground_years(post_of("", "european oak", 100).sections[0]), 30);
  const std::vector<Check> spruce = checked(post_of("UC3", "spruce-pine"));
  const Check* c = row(spruce, CheckKind::ground_line);
  ASSERT_NE(c, nullptr);
  EXPECT_EQ(c->verdict, Verdict::attention);
  EXPECT_THAT(c->plain, HasSubstr("not treated for the ground"));
}

TEST(GroundLine, AThickerPostNeverLastsLess) {
  for (const char* species : {"spruce", "larch", "oak", "", "spruce-pine"}) {
    double before = 0;
    for (double size = 20; size < 200; size += 10) {
      const double years = ground_years(post_of("", species, size).sections[0]);
      EXPECT_GE(years, before) << species << size;
      before = years;
    }
  }
}

TEST(WaterTraps, AFlatHeadIsOneAndASlopedOrCappedOneIsNone) {
  Structure s = post_of("UC4", "pine");
  const std::vector<Check> flat = checked(s);
  const Check* c = row(flat, CheckKind::wet_heads);
  ASSERT_NE(c, nullptr);
  EXPECT_THAT(c->plain, HasSubstr("the heads of A1"));
  EXPECT_THAT(c->plain, HasSubstr("slope"));
  Structure sloped = s;
  const double c30 = 0.8660254, s30 = 0.5;
  sloped.pieces[0].machining.push_back(EndCut{End::finish, {3000, 0, 0}, {c30, s30, 0}});
  EXPECT_EQ(row(checked(sloped), CheckKind::wet_heads), nullptr);
  Structure capped = s;
  Piece cap;
  cap.role = Role::cap, cap.carries = false, cap.section = SectionId{0};
  cap.length = 120, cap.width = 120, cap.thickness = 20;
  cap.frame = {{-12, -12, 2250}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
  capped.pieces.push_back(cap);
  EXPECT_EQ(row(checked(capped), CheckKind::wet_heads), nullptr);
}

TEST(WaterTraps, ANotchThatOpensUpwardsIsOne) {
  Structure s = post_of("UC4", "pine");
  Piece beam;
  beam.name = "beam", beam.mark = "B1", beam.section = SectionId{0};
  beam.length = 2000, beam.width = 145, beam.thickness = 45;
  beam.frame = {{0, 0, 2000}, {1, 0, 0}, {0, 0, 1}, {0, -1, 0}};  // on edge
  Notch notch;
  notch.opens_on = Face::edge_high;
  beam.machining.push_back(notch);
  s.pieces.push_back(beam);
  const std::vector<Check> open = checked(s);
  ASSERT_NE(row(open, CheckKind::wet_notches), nullptr);
  EXPECT_THAT(row(open, CheckKind::wet_notches)->plain, HasSubstr("B1"));
  std::get<Notch>(s.pieces[1].machining[0]).opens_on = Face::edge_low;
  EXPECT_EQ(row(checked(s), CheckKind::wet_notches), nullptr);
}

TEST(WaterTraps, AWideFlatLapIsOne) {
  Structure s = post_of("UC4", "pine");
  Piece lower;
  lower.name = "beam", lower.mark = "B1", lower.section = SectionId{0};
  lower.length = 2000, lower.width = 95, lower.thickness = 45;
  Piece upper = lower;
  upper.mark = "C1";
  upper.frame.origin.z = 45;
  s.pieces.push_back(lower), s.pieces.push_back(upper);
  Joint lap;
  lap.a = body(PieceId{1}), lap.b = body(PieceId{2});
  lap.normal = {0, 0, 1};
  const auto patch = [&](double long_mm) {
    lap.patch = {{0, 0, 45}, {long_mm, 0, 45}, {long_mm, 95, 45}, {0, 95, 45}};
    s.joints = {lap};
  };
  patch(300);
  const std::vector<Check> flat = checked(s);
  ASSERT_NE(row(flat, CheckKind::wet_laps), nullptr);
  EXPECT_THAT(row(flat, CheckKind::wet_laps)->plain, HasSubstr("along B1"));
  patch(95);
  EXPECT_EQ(row(checked(s), CheckKind::wet_laps), nullptr);
}

}  // namespace
}  // namespace garthwright::strength
