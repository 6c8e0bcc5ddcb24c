// SPDX-License-Identifier: Apache-2.0
//
// Several parts in one garden: the ground they stand on, what they do to each other and to what is there already.
#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "plan/plan.h"

namespace garthwright {
namespace {

using testing::HasSubstr;

const std::string kSource = GARTHWRIGHT_SOURCE_DIR;

Result<Plan> plan_of(const std::string& text) {
  const pattern::Shelves shelves{{kSource + "/patterns", kSource + "/tests/patterns"}, {kSource + "/catalogues"}};
  const Result<pattern::Job> job =
      pattern::parse_job("format = 1\n[timber]\ncatalogue = \"harrow-lane\"\n" + text, "garden.toml", shelves);
  if (!job) return tl::make_unexpected(job.error());
  return make_plan(*job, shelves);
}

std::string arbor(const std::string& name, const std::string& at, const std::string& more = "") {
  return fmt::format(
      "[[structure]]\nname = \"{}\"\npattern = \"arbor\"\nat = {}\n{}\n[structure.choices]\nopening = 1350\n", name, at,
      more);
}

Diagnostics with_code(const Result<Plan>& plan, const std::string& code) {
  if (!plan) throw std::runtime_error(to_string(plan.error().front()));
  Diagnostics found;
  for (const Diagnostic& d : plan->diagnostics)
    if (d.code == code) found.push_back(d);
  return found;
}

std::string refusal(const std::string& text) {
  const Result<Plan> plan = plan_of(text);
  return plan ? "no refusal" : to_string(plan.error().front());
}

// ---- what things are for --------------------------------------------------------------------------------------------

bool any_overgrown(const Plan& plan, int part) {
  const std::vector<const Check*> all = all_checks(plan);
  return std::any_of(all.begin(), all.end(), [part](const Check* c) {
    return c->part.index == part && c->when.state.kind == State::Kind::overgrown;
  });
}

// Its boards lie level at the top of it, and were once taken for a roof that the wind lifts.
TEST(Duties, BoardsThatHoldBackEarthAreNoRoof) {
  const Result<Plan> bed = plan_of("[[structure]]\npattern = \"raised_bed\"\n");
  ASSERT_TRUE(bed) << to_string(bed.error().front());
  bool looked_at = false;
  for (const Check* c : all_checks(*bed)) {
    EXPECT_FALSE(c->kind == CheckKind::uplift && c->verdict == Verdict::fails) << c->plain;
    looked_at = looked_at || c->kind == CheckKind::sideways;
  }
  EXPECT_TRUE(looked_at);
  EXPECT_FALSE(any_overgrown(*bed, 0));  // and nothing grows over them, though the site's climber is honeysuckle
}

TEST(Duties, EachPartHasTheClimberOfItsOwn) {
  const Result<Plan> plan =
      plan_of(arbor("bare", "[0, 0]", "climber = \"none\"") + arbor("grown", "[4000, 0]", "climber = \"wisteria\""));
  ASSERT_TRUE(plan) << to_string(plan.error().front());
  EXPECT_FALSE(any_overgrown(*plan, 0));
  EXPECT_TRUE(any_overgrown(*plan, 1));
  EXPECT_EQ(refusal(arbor("grown", "[0, 0]", "climber = \"wistria\"")),
            "garden.toml:8:11: error: climber 'wistria' of structure 'grown' is not known; did you mean wisteria? "
            "[unknown-climber]");
}

// ---- side by side ---------------------------------------------------------------------------------------------------

TEST(SideBySide, TwoPartsInOnePlaceAreNamedOnceByTheWorstPlace) {
  const Diagnostics clash = with_code(plan_of(arbor("near", "[0, 0]") + arbor("far", "[100, 20]")), "parts-clash");
  ASSERT_EQ(clash.size(), 1U);
  EXPECT_EQ(clash[0].severity, Severity::error);
  EXPECT_THAT(clash[0].what, HasSubstr("near and far stand in one place"));
  EXPECT_THAT(clash[0].what, HasSubstr("more such places"));
}

TEST(SideBySide, PartsWellApartAreLeftAlone) {
  const Result<Plan> plan = plan_of(arbor("near", "[0, 0]") + arbor("far", "[4000, 0]"));
  for (const char* code : {"parts-clash", "parts-touch", "parts-near", "holes-meet"})
    EXPECT_TRUE(with_code(plan, code).empty()) << code;
}

// The arbor is widest at its beams: their ends stand 30 mm from each other here, whichever of the two is turned about.
TEST(SideBySide, PartsNearerThanHandsGetARemarkWithTheirDistance) {
  const Result<Plan> alone = plan_of(arbor("near", "[0, 0]"));
  ASSERT_TRUE(alone);
  const Box box = alone->wholes.at(0).box;
  const double width = box.size().x, depth = box.size().y;
  for (const bool turned : {false, true}) {
    const std::string at = turned ? fmt::format("[{}, {}]", box.max.x + 30 + box.max.x, box.max.y + box.min.y)
                                  : fmt::format("[{}, 0]", width + 30);
    const Result<Plan> plan = plan_of(arbor("near", "[0, 0]") + arbor("far", at, turned ? "turn = 180" : ""));
    const Diagnostics near = with_code(plan, "parts-near");
    ASSERT_EQ(near.size(), 1U) << at;
    EXPECT_THAT(near[0].what, HasSubstr("stands 30 mm from"));
    EXPECT_TRUE(with_code(plan, "parts-clash").empty());
  }
  EXPECT_TRUE(
      with_code(plan_of(arbor("near", "[0, 0]") + arbor("far", fmt::format("[{}, 0]", width + 90))), "parts-near")
          .empty());
  EXPECT_EQ(
      with_code(plan_of(arbor("near", "[0, 0]") + arbor("far", fmt::format("[0, {}]", depth))), "parts-touch").size(),
      1U);
}

TEST(SideBySide, WhatIsThereAlreadyIsKeptClearOfAndNeverBought) {
  const std::string tree =
      "[[existing]]\nkind = \"tree\"\nname = \"old apple tree\"\nat = [0, 0]\ndiameter = 400\nheight = 4000\n";
  const Result<Plan> plan = plan_of(tree + arbor("arbor", "[0, 0]"));
  const Diagnostics clash = with_code(plan, "parts-clash");
  ASSERT_EQ(clash.size(), 1U);
  EXPECT_THAT(clash[0].what, HasSubstr("old apple tree"));
  const Result<Plan> without = plan_of(arbor("arbor", "[0, 0]"));
  EXPECT_EQ(plan->purchase.total.minor, without->purchase.total.minor);
  EXPECT_TRUE(with_code(plan_of(tree + arbor("arbor", "[3000, 0]")), "parts-clash").empty());
  EXPECT_EQ(refusal("[[existing]]\nkind = \"hedgehog\"\nat = [0, 0]\n" + arbor("arbor", "[0, 0]")).substr(0, 12),
            "garden.toml:");
}

// ---- the ground -----------------------------------------------------------------------------------------------------

/// Foot of each post in the garden, by where it stands.
std::map<std::string, double> feet(const Plan& plan) {
  std::map<std::string, double> low;
  for (const Piece& p : plan.structures.at(0).pieces)
    if (p.role == Role::post) low[p.where] = world_box(p.frame, p.blank()).min.z + plan.structures[0].at.z;
  return low;
}

TEST(GroundOfAJob, AllWaysOfMeasuringItMeanTheSame) {
  const std::string points = "[ground]\npoints = [[0, 0, 0], [4000, 0, -200], [0, 4000, 0], [4000, 4000, -200]]\n",
                    line =
                        "[ground]\nline = { from = [0, 0], to = [4000, 0], levels = [[0, 0], [4000, \"-200 mm\"]] }\n",
                    staff =
                        "[ground]\nstaff = { backsight = 1215, at = [[0, 0], [4000, 0]], readings = [1215, 1415] }\n",
                    slope = "[ground]\nslope = { way = \"right\", percent = 5 }\n";
  const Result<Plan> expected = plan_of(points + arbor("arbor", "[300, 100]"));
  ASSERT_TRUE(expected) << to_string(expected.error().front());
  for (const std::string& ground : {line, staff, slope}) {
    const Result<Plan> plan = plan_of(ground + arbor("arbor", "[300, 100]"));
    ASSERT_TRUE(plan) << ground << to_string(plan.error().front());
    for (const auto& [where, z] : feet(*expected)) EXPECT_NEAR(feet(*plan).at(where), z, 1e-6) << ground << where;
  }
}

TEST(GroundOfAJob, PostsFollowItAndSayWhichPointsTheyGoBy) {
  const std::string ground = "[ground]\nline = { from = [0, 0], to = [3000, 0], levels = [[0, 0], [3000, -150]] }\n";
  const Result<Plan> flat = plan_of(arbor("arbor", "[500, 0]")), plan = plan_of(ground + arbor("arbor", "[500, 0]"));
  ASSERT_TRUE(flat);
  ASSERT_TRUE(plan) << to_string(plan.error().front());
  const Structure& s = plan->structures.at(0);
  EXPECT_NEAR(s.at.z, -25, 1e-9) << "its zero is the ground at its origin";
  for (std::size_t p = 0; p < s.pieces.size(); ++p) {
    const Piece &now = s.pieces[p], &was = flat->structures[0].pieces[p];
    if (now.role != Role::post) {
      EXPECT_NEAR(now.length.value(), was.length.value(), 1e-9) << now.name;
      continue;
    }
    const double x = 500 + world_box(now.frame, now.blank()).centre().x;
    EXPECT_NEAR(now.length.value() - was.length.value(), 0.05 * (x - 500), 1e-6) << now.where;
    EXPECT_THAT(now.length.sum(), HasSubstr("ground 3000 along the line"));
  }
  for (const HoleRow& hole : plan->holes) EXPECT_NEAR(hole.centre.z, -0.05 * hole.centre.x, 1e-6);
  EXPECT_TRUE(with_code(plan, "beyond-the-ground").empty());
  EXPECT_EQ(with_code(plan_of(ground + arbor("arbor", "[2500, 0]")), "beyond-the-ground").size(), 1U);
}

TEST(GroundOfAJob, ALevelGivenForAPostGoesBeforeWhatWasMeasured) {
  const std::string ground = "[ground]\nslope = { way = \"right\", percent = 5 }\n";
  const Result<Plan> plan = plan_of(ground + arbor("arbor", "[0, 0, 0]", "levels = { \"left front\" = -90 }"));
  ASSERT_TRUE(plan) << to_string(plan.error().front());
  const auto low = feet(*plan);
  EXPECT_NEAR(low.at("left back") - low.at("left front"), 90 + 0.05 * 47.5, 1e-6);
}

TEST(GroundOfAJob, WhatCannotBeIsRefusedWithItsPlace) {
  const auto refused = [](const std::string& ground) { return refusal(ground + arbor("arbor", "[0, 0]")); };
  EXPECT_THAT(refused("[ground]\npoints = [[0, 0]]\n"), HasSubstr("write points = [[0, 0, 0], [3600, 0, -150]]"));
  EXPECT_THAT(refused("[ground]\npoints = [[0, 0, 0], [0, 0, 9]]\n"), HasSubstr("is given twice"));
  EXPECT_THAT(refused("[ground]\n"), HasSubstr("give one of points, line, staff and slope"));
  EXPECT_THAT(refused("[ground]\nstaff = { backsight = 1, at = [[0, 0]], readings = [1, 2] }\n"),
              HasSubstr("needs as many readings"));
  EXPECT_THAT(refused("[ground]\nline = { from = [1, 1], to = [1, 1], levels = [[0, 0]] }\n"),
              HasSubstr("begins and ends at one place"));
  EXPECT_THAT(refused("[ground]\nslope = { way = \"up\", percent = 5 }\n"), HasSubstr("garden.toml:"));
}

}  // namespace
}  // namespace garthwright
