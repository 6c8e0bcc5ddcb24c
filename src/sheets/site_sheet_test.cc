// SPDX-License-Identifier: Apache-2.0
#include <gmock/gmock.h>

#include "sheets/inspect.h"
#include "sheets/sample_plan.h"
#include "sheets/sheets.h"

namespace garthwright::sheets {
namespace {

using testing::Contains;
using testing::HasSubstr;
using testing::Not;

/// Two parts with a post each, the second one's with a leaf on it.
Plan two_parts() {
  Plan plan;
  plan.title = "Two parts";
  for (const char* name : {"fence", "gate"}) {
    Structure s;
    s.name = name;
    s.sections = {section("4x4", 95, 95, metric_sizes())};
    sure(place(
        s, {"post", "left", "", Role::post, SectionId{0}, 2400.0, 95.0, 95.0, Way::up, Way::back, {0.0, 0.0, -600.0}}));
    plan.garden.structures.push_back(std::move(s));
    plan.wholes.push_back({10, 0, {}, {{0, 0, -600}, {95, 95, 1800}}});
  }
  plan.garden.structures[1].at = {6000, 3000, -200};
  plan.garden.structures[1].swings.push_back({"leaf", {}, body(PieceId{0}), {}, {300, 1500}, 90});
  HoleRow hole;
  hole.part = PartId{0}, hole.post = PieceId{0}, hole.centre = {47.5, 47.5, 0};
  hole.diameter_mm = 300, hole.depth_mm = 800, hole.concrete_l = 50;
  plan.holes.push_back(hole);
  hole.part = PartId{1}, hole.centre = {6047.5, 3047.5, -200}, hole.depth_mm = 700;
  plan.holes.push_back(hole);
  return plan;
}

std::vector<std::string> words_of(const std::vector<Sheet>& sheets) {
  std::vector<std::string> out;
  for (const Sheet& sheet : sheets)
    for (const Text* t : all_text(sheet)) out.push_back(t->words);
  return out;
}

TEST(SiteSheet, SaysWhatFitsTheTrailerAndHowOftenOneWalks) {
  Plan plan = two_parts();
  plan.purchase.timber = {{"4x4", 4800, 2, {}, {}}, {"4x4", 2400, 5, {}, {}}};
  PieceRow row;
  row.mass_kg = 30, row.quantity = 2;
  plan.pieces.push_back(row);
  plan.job.yard.ground = {{"postmix 20 kg", "postmix", 20, 9.4, {}}};
  plan.purchase.ground = {{"postmix 20 kg", 6, {}, 0, "20 kg bag", {}}};
  const auto told = [&] {
    std::string all;
    for (const std::string& line : words_of(draw_sheets(plan, {Paper::a4, {"site"}, false}))) all += line + " ";
    return all;
  };
  EXPECT_THAT(told(), HasSubstr("lengths of up to 4800"));
  EXPECT_THAT(told(), HasSubstr("60 kg of timber"));
  EXPECT_THAT(told(), HasSubstr("6 bags of 120 kg"));
  EXPECT_THAT(told(), Not(HasSubstr("A bed of")));
  // Half as long again as 3000 are 4500: the two of 4800 do not go in. 180 kg are eight ways of 25.
  plan.job.site = {{"trailer", 3000.0, {}}, {"carry", 40.0, {}}};
  EXPECT_THAT(told(), HasSubstr("2 are longer"));
  EXPECT_THAT(told(), HasSubstr("about 8 ways"));
  plan.job.site[0].value = 3200.0;
  EXPECT_THAT(told(), HasSubstr("all fit"));
}

TEST(SiteSheet, MeasuresEveryHoleFromOneLine) {
  const std::vector<Sheet> sheets = draw_sheets(two_parts(), {Paper::a4, {"site"}, false});
  ASSERT_LE(sheets.size(), 2u);  // the list of holes may go on
  const std::vector<std::string> words = words_of(sheets);
  std::string all;
  for (const std::string& line : words) all += line + " ";
  // 6000 along and 3000 off the line from the first hole, 47.5 of either within the part's own corner.
  EXPECT_THAT(words, Contains(HasSubstr("6047.5")));
  EXPECT_THAT(words, Contains(HasSubstr("3047.5")));
  // Both squares that fit: min(6000 / 4, 3000 / 3) = 1000, in steps of 300: 900 → 3600, 2700 and 4500.
  EXPECT_THAT(all, HasSubstr("3600"));
  EXPECT_THAT(all, HasSubstr("2700"));
  EXPECT_THAT(all, HasSubstr("4500"));
  // π / 4 × 0.3² × (0.8 + 0.7) = 106 l of earth, a quarter more when loose.
  EXPECT_THAT(all, HasSubstr("106 litres of earth"));
  EXPECT_THAT(all, HasSubstr("100 litres of concrete"));
  for (const Sheet& sheet : sheets) EXPECT_TRUE(faults(sheet).empty());
}

TEST(SiteSheet, GatePostsAreDugFirst) {
  const std::vector<std::string> words = words_of(draw_sheets(two_parts(), {Paper::a4, {"site"}, false}));
  const auto heading = std::find(words.begin(), words.end(), "Holes in the order they are dug");
  ASSERT_NE(heading, words.end());
  const auto first =
      std::find_if(heading, words.end(), [](const std::string& w) { return w == "gate" || w == "fence"; });
  ASSERT_NE(first, words.end());
  EXPECT_EQ(*first, "gate");
}

TEST(SiteSheet, OnePartHasNone) {
  Plan plan = two_parts();
  plan.garden.structures.pop_back();
  plan.wholes.pop_back();
  plan.holes.pop_back();
  EXPECT_TRUE(draw_sheets(plan, {Paper::a4, {"site"}, false}).empty());
}

}  // namespace
}  // namespace garthwright::sheets
