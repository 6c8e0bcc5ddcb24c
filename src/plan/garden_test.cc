// SPDX-License-Identifier: Apache-2.0
//
// Several parts in one garden: the ground they stand on, what they do to each other and to what is there already.
#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "base/source_dir_for_tests.h"
#include "plan/plan.h"

namespace garthwright {
namespace {

using testing::HasSubstr;

const std::string kSource = source_dir();

Result<Plan> plan_of(const std::string& text) {
  const pattern::Shelves shelves{{kSource + "/patterns", kSource + "/tests/patterns"}, {kSource + "/catalogues"}};
  const Result<pattern::Job> job =
      pattern::parse_job("format = 1\n[timber]\ncatalogue = \"harrow-lane\"\n" + text, "garden.toml", shelves);
  if (!job) return tl::make_unexpected(job.error());
  return make_plan(*job, shelves);
}

std::string arbor(const std::string& name, const std::string& at, const std::string& more = "") {
  return fmt::format(
      "[[structure]]\nname = \"{}\"\npattern = \"arbor\"\nat = {}\n{}\n[structure.choices]\nopening = 1350\nin_ground "
      "= 650\n"
      "hole_diameter = 300\n",
      name, at, more);
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
  for (const char* spelt : {"grape_vine", "grape vine", "grape-vine"}) {
    const Result<Plan> vine = plan_of(arbor("grown", "[0, 0]", fmt::format("climber = \"{}\"", spelt)));
    ASSERT_TRUE(vine) << spelt;
    EXPECT_EQ(vine->garden.structures.front().climber, "grape_vine");
    EXPECT_TRUE(any_overgrown(*vine, 0)) << spelt;
  }
  EXPECT_EQ(refusal(arbor("grown", "[0, 0]", "climber = \"wistria\"")),
            "garden.toml:8:11: error: climber 'wistria' of structure 'grown' is not known; did you mean wisteria? "
            "[unknown-climber]");
}

// ---- posts on shoes -------------------------------------------------------------------------------------------------

// On a pin no moment goes into the pad but what the push sideways makes at the shoe's height above the ground.
TEST(Shoes, TurnFreelyAndStandOnPadsOfTheirOwn) {
  const double clear = 60;
  const Result<Plan> plan = plan_of("[[structure]]\npattern = \"trestle\"\n");
  ASSERT_TRUE(plan) << to_string(plan.error().front());
  const auto& loads = plan->strength.structures[0].footing_loads;
  ASSERT_FALSE(loads.empty());
  for (const strength::FootingLoad& l : loads)
    EXPECT_NEAR(l.moment_nmm, clear * l.sideways_n, 1 + 1e-3 * clear * l.sideways_n);
  int shoes = 0;
  for (const Check* c : all_checks(*plan)) {
    EXPECT_NE(c->kind, CheckKind::ground_line) << "it stands clear of the ground";
    EXPECT_NE(c->kind, CheckKind::unsolved) << c->plain;
    shoes += c->kind == CheckKind::shoe;
  }
  EXPECT_GE(shoes, 1);
  // Bought once for each post; the pad is all concrete above its gravel: π/4 · 300² · 400 mm³.
  const auto& fixings = plan->purchase.fixings;
  const auto bought = std::find_if(fixings.begin(), fixings.end(),
                                   [](const auto& line) { return line.name == "post shoe 95 on a pin"; });
  ASSERT_NE(bought, fixings.end());
  EXPECT_EQ(bought->needed, 4);
  for (const HoleRow& hole : plan->holes) EXPECT_NEAR(hole.concrete_l, M_PI / 4 * 300 * 300 * 400 / 1e6, 1e-6);
  EXPECT_TRUE(with_code(plan, "no-fixing").empty());
}

// Somebody leans with 1 kN, half as much again, on a post that nothing else holds, 1.2 m above its foot: 1.8 kNm bend
// its shoe, which holds 4.2 kNm · kmod 0.7 / 1.3. The push itself uses 1.5 of 15 kN so reduced, the post's weight 1 %.
TEST(Shoes, ThatHoldUprightAreBentByWhoLeansOnThePost) {
  const Result<Plan> plan = plan_of(
      "[site]\nwind_speed = 15\nclimber = \"none\"\n[[structure]]\npattern = \"mast\"\n[structure.choices]\npost = "
      "\"5x5\"\n"
      "height = 1500\nclear = 50\n");
  ASSERT_TRUE(plan) << to_string(plan.error().front());
  int shoes = 0;
  for (const Check* c : all_checks(*plan)) {
    EXPECT_NE(c->kind, CheckKind::unsolved) << c->plain;
    if (c->kind != CheckKind::shoe) continue;
    ++shoes;
    const double kept = 0.7 / 1.3;
    EXPECT_NEAR(c->utilisation, 1.5 * 1.2 / (kept * 4.2) + 1.5 / (kept * 15), 0.02) << c->plain;
    EXPECT_NE(c->plain.find("bent with 1.8 kNm"), std::string::npos) << c->plain;
  }
  EXPECT_EQ(shoes, 1);
}

// A wedge is sawn off: half of along × off × width of each post.
TEST(Shoes, TaperedFeetWeighLess) {
  const Result<Plan> whole = plan_of("[[structure]]\npattern = \"trestle\"\n");
  const Result<Plan> tapered = plan_of("[[structure]]\npattern = \"trestle\"\n[structure.choices]\ntaper = 240\n");
  ASSERT_TRUE(whole && tapered) << to_string(tapered.error().front());
  const double wedge = 0.5 * 240 * 20 * 95;
  EXPECT_NEAR(whole->pieces[0].volume_mm3 - tapered->pieces[0].volume_mm3, wedge, 1e-6 * wedge);
  EXPECT_NEAR(whole->pieces[0].length_mm, tapered->pieces[0].length_mm, 1e-9);
  const auto& marks = tapered->marking.lists[0].marks;
  EXPECT_TRUE(std::any_of(marks.begin(), marks.end(), [](const marking::Mark& m) {
    return m.kind == marking::MarkKind::mitre && std::abs(m.at_mm - 240) < 1e-6 &&
           m.setting.find("taper to the datum end: there 75") != std::string::npos;
  }));
}

// ---- shared posts ---------------------------------------------------------------------------------------------------

/// A fence of one bay to the right of the arbor; its left post is the arbor's.
std::string stub(const std::string& name, const std::string& shares, const std::string& choices,
                 const std::string& more = "") {
  return fmt::format(
      "[[structure]]\nname = \"{}\"\npattern = \"stub_fence\"\nshares = {{ {} }}\n{}\n[structure.choices]\n{}\n", name,
      shares, more, choices);
}
const std::string kRight = stub("right stub", "\"left post\" = \"arch/right front post\"", "height = 1100");
const std::string kLeft = stub("left stub", "\"right post\" = \"arch/left front post\"", "height = 1100\nhole = 400");

Piece post_of(const Plan& plan, const std::string& where) {
  for (const Piece& piece : plan.garden.structures[0].pieces)
    if (piece.name == "post" && piece.where == where) return piece;
  throw std::runtime_error("no post " + where);
}

// An arbor's four posts and one more for each stub; five and six would be two more.
TEST(SharedPosts, AreBoughtDugAndCountedOnce) {
  const Result<Plan> plan = plan_of(kLeft + arbor("arch", "[0, 0]") + kRight +
                                    "[[structure]]\npattern = \"raised_bed\"\n" + "at = [4000, 3000]\n");
  ASSERT_TRUE(plan) << to_string(plan.error().front());
  ASSERT_EQ(plan->garden.structures.size(), 2U);
  const Structure& arch = plan->garden.structures[0];
  EXPECT_EQ(arch.name, "arch");
  ASSERT_EQ(arch.guests.size(), 2U);
  EXPECT_EQ(arch.guests[0].name, "left stub");
  ASSERT_EQ(arch.guests[1].posts.size(), 1U);
  EXPECT_EQ(arch.guests[1].posts[0].called, "left post");
  EXPECT_EQ(arch[arch.guests[1].posts[0].post].where, "right front");
  for (const Piece& piece : arch.pieces)
    EXPECT_EQ(piece.part, piece.where.starts_with("left stub") ? 1 : piece.where.starts_with("right stub") ? 2 : 0);
  EXPECT_EQ(std::count_if(arch.pieces.begin(), arch.pieces.end(), [](const Piece& p) { return p.name == "post"; }), 6);
  EXPECT_EQ(arch.footings.size(), 6U);
  EXPECT_EQ(plan->holes.size(), 10U);  // with the bed's four stakes
  for (const Diagnostic& d : plan->diagnostics) EXPECT_NE(d.severity, Severity::error) << to_string(d);
  // Both stubs' rails are fixed to posts of the arbor.
  int rails_on_it = 0;
  for (const Joint& j : arch.joints)
    for (const auto& [one, other] : {std::pair{j.a, j.b}, std::pair{j.b, j.a}})
      if (one.kind == Body::Kind::piece && other.kind == Body::Kind::piece && j.kind == JointKind::butt)
        rails_on_it += arch[PieceId{one.index}].name == "post" &&
                       arch[PieceId{one.index}].where.find("stub") == std::string::npos &&
                       arch[PieceId{other.index}].where.find("stub") != std::string::npos;
  EXPECT_EQ(rails_on_it, 4);
}

// The arbor's holes are 300 wide and its posts 650 deep over 100 of gravel. One stub asks for a hole 400 wide, another
// for a foot 800 deep: each gets what it asked, with who asked in the sum of the post's length.
TEST(SharedPosts, GetTheDeepestFootAndTheWidestHoleOfAll) {
  const std::string deep = stub("deep", "\"left post\" = \"arch/right front post\"", "height = 1100\nin_ground = 800");
  const Result<Plan> plan = plan_of(arbor("arch", "[0, 0]") + deep + kLeft);
  ASSERT_TRUE(plan) << to_string(plan.error().front());
  const Piece right = post_of(*plan, "right front"), left = post_of(*plan, "left front");
  EXPECT_NEAR(right.length.value(), 2150 + 55 + 800, 1e-9);
  EXPECT_EQ(right.length.sum(), "height 2150 + post's head 55 + depth asked by deep 800");
  EXPECT_NEAR(left.length.value(), 2150 + 55 + 650, 1e-9);
  for (const HoleRow& hole : plan->holes) {
    const Piece& post = plan->garden.structures[0][hole.post];
    if (post.where.find("stub") != std::string::npos || post.where.find("deep") != std::string::npos) continue;
    EXPECT_NEAR(hole.depth_mm, post.where == "right front" ? 900 : 750, 1e-9) << post.where;
    EXPECT_NEAR(hole.diameter_mm, post.where == "left front" ? 400 : 300, 1e-9) << post.where;
  }
}

// A fence higher than its host's post makes the post higher before anything is built on it.
TEST(SharedPosts, GetTheHighestTopOfAll) {
  const std::string low = stub("low", "", "height = 900");
  const std::string high = stub("high", "\"left post\" = \"low/right post\"", "height = 1400");
  const Result<Plan> plan = plan_of(low + high);
  ASSERT_TRUE(plan) << to_string(plan.error().front());
  EXPECT_NEAR(post_of(*plan, "right").length.value(), 1400 + 600, 1e-9);
  EXPECT_NEAR(post_of(*plan, "left").length.value(), 900 + 600, 1e-9);
  EXPECT_THAT(post_of(*plan, "right").length.sum(), HasSubstr("top asked by high 1400"));
}

// Where the job does not say, the guest stands with its post in the place of the host's, turned as the job says.
TEST(SharedPosts, PutTheGuestWhereItsPostIs) {
  const Result<Plan> plan = plan_of(arbor("arch", "[500, 200]", "turn = 90") +
                                    stub("side", "\"left post\" = \"arch/right front post\"", "bay = 900", "turn = 0"));
  ASSERT_TRUE(plan) << to_string(plan.error().front());
  for (const Diagnostic& d : plan->diagnostics) EXPECT_NE(d.severity, Severity::error) << to_string(d);
  for (const Piece& piece : plan->garden.structures[0].pieces)
    if (piece.name == "rail" && piece.where.find("side") != std::string::npos) {
      EXPECT_NEAR(piece.length.value(), 900, 1e-6);
    }
}

TEST(SharedPosts, SayWhatCannotBe) {
  EXPECT_EQ(
      refusal(arbor("arch", "[0, 0]") + stub("fence", "\"left post\" = \"arch/rigt front post\"", "")),
      "garden.toml:16:26: error: arch has no post called 'rigt front post'; did you mean right front post, left front "
      "post or right back post? "
      "[unknown-post]");
  EXPECT_THAT(refusal(arbor("arch", "[0, 0]") + stub("fence", "\"middle post\" = \"arch/right front post\"", "")),
              HasSubstr("stub_fence places no post called 'middle post'"));
  EXPECT_THAT(
      refusal(stub("a", "\"left post\" = \"b/right post\"", "") + stub("b", "\"left post\" = \"c/right post\"", "") +
              stub("c", "\"left post\" = \"a/right post\"", "")),
      HasSubstr("structures take posts of each other in a circle: a, b, c, a; let one of them have posts of its "
                "own [shared-circle]"));
  EXPECT_THAT(
      refusal(arbor("arch", "[0, 0]") + stub("fence", "\"left post\" = \"arch/right front post\"", "post = \"5x5\"")),
      HasSubstr("choose a larger section for post of arch, or a smaller one here [post-too-thin]"));
  EXPECT_THAT(
      refusal(arbor("arch", "[0, 0]") + stub("fence", "\"left post\" = \"arch/right front post\"", "", "turn = 30")),
      HasSubstr("fence is turned 30° and arch, whose post it shares, 0°"));
  EXPECT_THAT(refusal(stub("fence", "\"left post\" = \"arch\"", "")), HasSubstr("[unknown-host]"));
}

// ---- leaves that swing ----------------------------------------------------------------------------------------------

std::string gate(const std::string& choices) {
  return "[[structure]]\nname = \"gate\"\npattern = \"hung_gate\"\n[structure.choices]\n" + choices + "\n";
}

TEST(Leaves, OpenWhereNothingIsInTheirWay) {
  const Result<Plan> plan = plan_of(gate("by = 100"));
  ASSERT_TRUE(plan) << to_string(plan.error().front());
  for (const Diagnostic& d : plan->diagnostics) EXPECT_NE(d.severity, Severity::error) << to_string(d);
  ASSERT_EQ(plan->garden.structures[0].swings.size(), 1U);
  EXPECT_EQ(plan->garden.structures[0].swings[0].axis, (Vec3{3, 0, 50 + 150 + 50}));
  EXPECT_EQ(plan->garden.structures[0].swings[0].opens_deg,
            -100);  // clockwise seen from above: hung left, opens to the front
}

TEST(Leaves, AreHungWhenThePostsStandOnHingesThatAreBought) {
  const pattern::Shelves shelves{{kSource + "/tests/patterns"}, {kSource + "/catalogues"}};
  Result<pattern::Job> job =
      pattern::parse_job("format = 1\n[timber]\ncatalogue = \"harrow-lane\"\n" + gate(""), "garden.toml", shelves);
  ASSERT_TRUE(job);
  for (timber::Yard* yard : {&job->yard, &job->yards.front()}) {
    std::erase_if(yard->fixings, [](const timber::FixingItem& item) { return item.kind >= timber::FixingKind::hinge; });
    for (const auto kind : {timber::FixingKind::hinge, timber::FixingKind::latch}) {
      timber::FixingItem item = yard->fixings.front();
      item.kind = kind;
      item.name = kind == timber::FixingKind::hinge ? "hinge of the test" : "latch of the test";
      item.packs = {{1, {640}}};
      yard->fixings.push_back(item);
    }
  }
  PlanOptions options;
  options.order = sequence::Options{};
  const Result<Plan> plan = make_plan(*job, shelves, options);
  ASSERT_TRUE(plan) << to_string(plan.error().front());
  const auto bought = [&](const std::string& name) {
    for (const buying::ItemLine& line : plan->purchase.fixings)
      if (line.name == name) return line.quantity;
    return 0;
  };
  EXPECT_EQ(bought("hinge of the test"), 2);
  EXPECT_EQ(bought("latch of the test"), 1);
  std::vector<std::string> actions;
  for (const sequence::Stage& stage : plan->orders[0].stages)
    actions.insert(actions.end(), stage.actions.begin(), stage.actions.end());
  const auto at = [&](const std::string& words) {
    return std::find_if(actions.begin(), actions.end(),
                        [&](const std::string& a) { return a.find(words) != std::string::npos; }) -
           actions.begin();
  };
  EXPECT_LT(at("Leave it 24 h to set"), at("screw 2 hinges to it, their middles"));
  EXPECT_LT(at("screw 2 hinges to it, their middles"), at("Knock the packers out"));
  EXPECT_LT(at("Knock the packers out"), static_cast<std::ptrdiff_t>(actions.size()));
}

// The tip is 903 from the pin; a shed 500 before it is struck at asin(500 / 903) = 33.6°, at the next two degrees.
TEST(Leaves, StrikeWhatIsInTheirWay) {
  const std::string shed =
      "[[existing]]\nkind = \"shed\"\nname = \"bin store\"\nat = [-500, -1500]\nwidth = 3000\ndepth = 1000\n";
  const Diagnostics strikes = with_code(plan_of(shed + gate("")), "leaf-strikes");
  ASSERT_EQ(strikes.size(), 1U);
  EXPECT_EQ(strikes[0].what, "gate of gate strikes the bin store when it is 34° open, and should open 90°");
  EXPECT_TRUE(with_code(plan_of(shed + gate("opens = \"back\"")), "leaf-strikes").empty());
}

// Ground that rises 8 % to the front is 72 up where the tip of the open leaf is, 900 out; its foot is at 50.
TEST(Leaves, DragOnGroundThatRises) {
  const std::string steep = "[ground]\nslope = { way = \"back\", percent = 8 }\n";
  const Diagnostics drags = with_code(plan_of(steep + gate("")), "leaf-drags");
  ASSERT_EQ(drags.size(), 1U);
  EXPECT_EQ(drags[0].what,
            "gate of gate drags on the ground when it is 90° open: the ground stands 23 mm above its foot there");
  EXPECT_TRUE(with_code(plan_of(steep + gate("foot = 80")), "leaf-drags").empty());
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
  for (const Piece& p : plan.garden.structures.at(0).pieces)
    if (p.role == Role::post) low[p.where] = world_box(p.frame, p.blank()).min.z + plan.garden.structures[0].at.z;
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
  const Structure& s = plan->garden.structures.at(0);
  EXPECT_NEAR(s.at.z, -25, 1e-9) << "its zero is the ground at its origin";
  for (std::size_t p = 0; p < s.pieces.size(); ++p) {
    const Piece &now = s.pieces[p], &was = flat->garden.structures[0].pieces[p];
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
