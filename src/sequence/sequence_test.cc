// SPDX-License-Identifier: Apache-2.0
#include "sequence/sequence.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "assembly/sway.h"
#include "sequence/completeness.h"
#include "sequence/effort.h"
#include "sequence/jobs_for_tests.h"
#include "sequence/tools.h"
#include "sequence/units.h"
#include "sequence/verifier.h"
#include "sequence/words.h"

namespace garthwright::sequence {
namespace {

using testing::built;
using ::testing::Contains;
using testing::example;
using ::testing::HasSubstr;
using testing::job_text;

std::string told(const Diagnostics& diagnostics) {
  std::string text;
  for (const Diagnostic& d : diagnostics) text += to_string(d) + "\n";
  return text;
}

Report report(const Structure& structure, const Options& options = {}) {
  return work_out(structure, solid::Solids(structure), options);
}

std::vector<std::string> titles(const Report& r) {
  std::vector<std::string> list;
  for (const Stage& s : r.stages) list.push_back(s.title);
  return list;
}

const Stage& stage(const Report& r, const std::string& title) {
  for (const Stage& s : r.stages)
    if (s.title.starts_with(title)) return s;
  ADD_FAILURE() << "no stage " << title;
  static const Stage none;
  return none;
}

int place(const Report& r, const std::string& title) { return stage(r, title).number; }

TEST(Arbor, IsMadeInSidesThatAreStoodUpAndThenRoofed) {
  const auto arbor = example("arbor");
  const Report r = report(*arbor);
  ASSERT_FALSE(r.stages.empty()) << told(r.diagnostics);
  EXPECT_EQ(place(r, "Cut, machine and seal"), 1);
  EXPECT_LT(place(r, "Make the left side and right side"), place(r, "Stand the left side and right side"));
  EXPECT_LT(place(r, "Dig the holes"), place(r, "Stand the left side and right side"));
  EXPECT_LT(place(r, "Stand the left side and right side"), place(r, "Fill the holes"));
  EXPECT_LT(place(r, "Fill the holes"), place(r, "Put up the 2 fascia beams"));
  EXPECT_LT(place(r, "Put up the 2 fascia beams"), place(r, "Put up the 5 rafters"));
  EXPECT_EQ(r.stages.back().title, "Take struts and battens away");
  EXPECT_EQ(stage(r, "Fill the holes").wait_h, 24);
  EXPECT_THAT(stage(r, "Make the left").actions, Contains(HasSubstr("temporary batten from corner to corner")));
  EXPECT_THAT(stage(r, "Put up the 5 rafters").adds, Contains("J1"));
}

// Brackets between near rafters take a short driver on one leg and a long one on the other, or face away.
TEST(Arbor, WithADenseRowOfRaftersHasAnOrder) {
  std::stringstream text;
  text << std::ifstream(testing::kSource / "examples" / "arbor.toml").rdbuf();
  for (const int rafters : {7, 8, 9, 10}) {  // 211 to 141 mm from one to the next
    std::string job = text.str();
    job.replace(job.find("rafters = 5"), 11, fmt::format("rafters = {}", rafters));
    const auto arbor = built(job, (testing::kSource / "examples" / "arbor.toml").string());
    ASSERT_TRUE(arbor);
    const solid::Solids solids(*arbor);
    const Report r = work_out(*arbor, solids);
    ASSERT_FALSE(r.stages.empty()) << rafters << ": " << told(r.diagnostics);
    const Verdict v = verify(*arbor, solids, r.stages, {}, {2});
    EXPECT_TRUE(v.accepted()) << rafters << " stage " << v.stage << ": " << v.why;
  }
}

// Its lowest screws lean towards the ground: it is made off the ground and set down.
TEST(Planter, LeaningHasAnOrder) {
  const auto planter = example("planter");
  ASSERT_TRUE(planter);
  const solid::Solids solids(*planter);
  const Report r = work_out(*planter, solids);
  ASSERT_FALSE(r.stages.empty()) << told(r.diagnostics);
  const Verdict v = verify(*planter, solids, r.stages, {}, {kMostCarriers});
  EXPECT_TRUE(v.accepted()) << " stage " << v.stage << ": " << v.why;
}

// A framed leaf is fixed to nothing nearer the ground: its braces bear its rails, and rails bear braces.
TEST(Gate, FramedHasAnOrder) {
  for (const char* choices : {"kind = \"framed\"\n", "kind = \"framed\"\nledges = 2\n"}) {
    const auto gate = built(job_text("gate", choices));
    ASSERT_TRUE(gate);
    const solid::Solids solids(*gate);
    const Report r = work_out(*gate, solids);
    ASSERT_FALSE(r.stages.empty()) << told(r.diagnostics);
    const Verdict v = verify(*gate, solids, r.stages, {}, {2});
    EXPECT_TRUE(v.accepted()) << choices << " stage " << v.stage << ": " << v.why;
  }
}

// 38 kg are over the 33 kg that two people lift (2/3 of 2 x 25 kg); one lower corner at a time half of it hangs on
// them.
TEST(Gate, AFramedLeafIsMadeAsOneAndWalkedOnToPackers) {
  const auto gate = built(job_text("gate", "kind = \"framed\"\n"));
  ASSERT_TRUE(gate);
  const auto titles = [](const Report& r) {
    std::vector<std::string> all;
    for (const Stage& stage : r.stages) all.push_back(stage.title);
    return all;
  };
  const Report low = report(*gate);
  EXPECT_THAT(titles(low), ::testing::IsSupersetOf({"Make the leaf", "Put up the leaf"}));
  // What is no leaf is lifted as a whole, and neither the order nor the verifier lets two people do that.
  Structure shut = *gate;
  shut.swings.clear();
  EXPECT_THAT(titles(report(shut)), ::testing::Not(::testing::Contains("Make the leaf")));
  const Verdict v = verify(shut, solid::Solids(shut), low.stages, {}, {2});
  EXPECT_EQ(v.fault, Fault::too_heavy) << v.why;
  Structure high = *gate;
  for (Footing& footing : high.footings) footing.centre.z -= 300;
  EXPECT_EQ(verify(high, solid::Solids(high), low.stages, {}, {2}).fault, Fault::too_heavy);
}

TEST(Examples, HaveAnOrderThatTheVerifierAccepts) {
  for (const std::string& name : testing::example_names()) {
    const auto structure = example(name);
    ASSERT_TRUE(structure) << name;
    const solid::Solids solids(*structure);
    for (const int people : {2, 3}) {
      Options options;
      options.people = people;
      const Report r = work_out(*structure, solids, options);
      ASSERT_FALSE(r.stages.empty()) << name << ": " << told(r.diagnostics);
      const Verdict v = verify(*structure, solids, r.stages, options.rates, {people});
      EXPECT_TRUE(v.accepted()) << name << " stage " << v.stage << ": " << v.why;
      EXPECT_LE(r.least_effort, r.effort) << name;
      EXPECT_GT(r.least_effort, 0.8 * r.effort) << name;
    }
  }
}

TEST(Examples, EveryFixingIsCountedInTheStages) {
  for (const std::string& name : testing::example_names()) {
    const auto structure = example(name);
    const Report r = report(*structure);
    int count = 0;
    for (const Stage& s : r.stages)
      for (const FixingCount& f : s.fixings) count += f.count;
    EXPECT_EQ(count, static_cast<int>(structure->fixings.size())) << name;
    std::set<std::string> marks, added;
    for (const Piece& p : structure->pieces) marks.insert(p.mark);
    for (const Stage& s : r.stages) added.insert(s.adds.begin(), s.adds.end());
    for (const Panel& p : structure->panels) marks.insert(p.name);
    EXPECT_EQ(marks, added) << name;
  }
}

TEST(Options, OnePersonLiftsNoSideButStandsThePostsSingly) {
  Options options;
  options.people = 1;
  const auto arbor = example("arbor");
  const Report r = report(*arbor, options);
  ASSERT_FALSE(r.stages.empty()) << told(r.diagnostics);
  for (const Stage& s : r.stages) EXPECT_EQ(s.people, 1) << s.title;
}

TEST(Options, WhatOnePersonCannotLiftIsSaid) {
  Options options;
  options.people = 1;
  options.rates.person = "woman";
  const auto pergola = built(job_text("pergola", "length = 5300\ndepth = 3000\nbeam = \"8x2\"\n"));
  ASSERT_TRUE(pergola);
  const Report r = report(*pergola, options);
  EXPECT_TRUE(r.stages.empty());
  EXPECT_THAT(told(r.diagnostics), HasSubstr("people lift it, not 1; say --people"));
}

TEST(Options, WithoutPowerTheToolsAreHandTools) {
  Options options;
  options.no_power = true;
  const auto arbor = example("arbor");
  const Report by_hand = report(*arbor, options), with_power = report(*arbor);
  ASSERT_FALSE(by_hand.stages.empty());
  for (const Stage& s : by_hand.stages)
    for (const FixingCount& f : s.fixings) EXPECT_EQ(f.tool.find("driver with"), std::string::npos) << f.tool;
  EXPECT_GT(by_hand.effort, with_power.effort);
}

TEST(Options, AFirstStageIsHeldToOrRefused) {
  const auto arbor = example("arbor");
  Options options;
  options.first = "right side";
  const Report r = report(*arbor, options);
  ASSERT_FALSE(r.stages.empty()) << told(r.diagnostics);
  EXPECT_THAT(r.stages[1].title, HasSubstr("right side"));
  options.first = "rafter";
  EXPECT_THAT(told(report(*arbor, options).diagnostics), HasSubstr("rafter cannot go up first"));
  options.first = "rigt side";
  EXPECT_THAT(told(report(*arbor, options).diagnostics), HasSubstr("did you mean right side"));
}

TEST(Options, PartsThatAreCarriedInKeepToTheirLimits) {
  const auto arbor = example("arbor");
  Options options;
  options.carry_kg = 20;
  const Report light = report(*arbor, options);
  ASSERT_FALSE(light.stages.empty()) << told(light.diagnostics);
  for (const Stage& s : light.stages) EXPECT_LE(s.lift_kg, 20) << s.title;
  options.carry_mm = 2000;
  EXPECT_THAT(told(report(*arbor, options).diagnostics), HasSubstr("more than may be carried in"));
}

TEST(Options, NonsenseIsRefused) {
  const auto arbor = example("arbor");
  Options options;
  options.people = 4;
  EXPECT_THAT(told(report(*arbor, options).diagnostics), HasSubstr("4 people cannot be planned for; give 1, 2 or 3"));
}

const WeighedWay& weighed(const Report& r, Way way) {
  for (const WeighedWay& w : r.ways)
    if (w.way == way) return w;
  ADD_FAILURE() << "a way is not weighed";
  static const WeighedWay none;
  return none;
}

TEST(Ways, AllThreeAreWeighedAndOneIsTaken) {
  const Report r = report(*example("arbor"));
  ASSERT_EQ(r.ways.size(), 3u);
  int taken = 0;
  for (const WeighedWay& way : r.ways) taken += way.taken ? 1 : 0;
  EXPECT_EQ(taken, 1);
  EXPECT_TRUE(weighed(r, Way::parts).taken);
  EXPECT_EQ(weighed(r, Way::parts).minutes, r.effort);
  EXPECT_GT(weighed(r, Way::pieces).minutes, r.effort);
  EXPECT_FALSE(weighed(r, Way::pieces).through) << "loose timbers go through any door";
  EXPECT_TRUE(weighed(r, Way::parts).through);
}

TEST(Ways, EachThatIsAskedForIsHeldToAndAccepted) {
  for (const char* name : {"arbor", "bench", "pergola-free"}) {
    const auto structure = example(name);
    ASSERT_TRUE(structure) << name;
    const solid::Solids solids(*structure);
    for (const Way way : kWays) {
      Options options;
      options.way = way;
      const Report r = work_out(*structure, solids, options);
      const WeighedWay& asked = weighed(r, way);
      if (!asked.why_not.empty()) {
        EXPECT_THAT(told(r.diagnostics), HasSubstr("cannot be put up by --way")) << name;
        continue;
      }
      EXPECT_TRUE(asked.taken) << name;
      ASSERT_FALSE(r.stages.empty()) << name << ": " << sequence::name(way);
      const Verdict v = verify(*structure, solids, r.stages, {}, {kMostCarriers});
      EXPECT_TRUE(v.accepted()) << name << " " << sequence::name(way) << " stage " << v.stage << ": " << v.why;
      EXPECT_TRUE(left_out(*structure, r.stages).empty()) << name;
    }
  }
}

TEST(Ways, WholeTheArborIsCarriedClearOfTheGroundByMany) {
  Options options;
  options.way = Way::whole;
  const auto arbor = example("arbor");
  const Report r = report(*arbor, options);
  ASSERT_TRUE(weighed(r, Way::whole).taken) << weighed(r, Way::whole).why_not;
  const Stage& made = stage(r, "Make the whole");
  EXPECT_THAT(made.actions, Contains(HasSubstr("Work upside down on blocks")));
  const Stage& stood = stage(r, "Stand the whole");
  // By hand: n men lift n x 25 kg / 2 with the hands at a metre (guideline_kg, team_share).
  EXPECT_EQ(stood.people, static_cast<int>(std::ceil(stood.lift_kg / 12.5 - 1e-9)));
  EXPECT_GT(stood.people, 3);
  EXPECT_LT(stood.number, place(r, "Fill the holes"));
}

TEST(Ways, ADoorKeepsOutWhatDoesNotGoThroughIt) {
  const auto arbor = example("arbor");
  Options options;
  options.through = {600, 2000};
  const Report narrow = report(*arbor, options);
  EXPECT_THAT(weighed(narrow, Way::whole).why_not, HasSubstr("does not go through the opening"));
  for (const WeighedWay& way : narrow.ways)
    if (way.through) {
      EXPECT_LE(way.through->wide_mm, 600);
      EXPECT_LE(way.through->high_mm, 2000);
    }
  EXPECT_TRUE(passes({900, 40, 2400}, {600, 1000})) << "on edge, as a board goes through a door";
  EXPECT_FALSE(passes({900, 700, 2400}, {600, 2000}));
  EXPECT_TRUE(passes({900, 700, 2400}, {}));
}

TEST(Heads, CutInPlacePostsStandSinglyAndAreLevelledBeforeAnythingIsFixedToThem) {
  for (const char* name : {"arbor", "pergola-free"}) {
    const auto structure = example(name);
    const solid::Solids solids(*structure);
    Options options;
    options.heads_in_place = true;
    const Report r = work_out(*structure, solids, options);
    ASSERT_FALSE(r.stages.empty()) << name << told(r.diagnostics);
    const int cut = place(r, "Cut the post heads to one level");
    EXPECT_EQ(cut, place(r, "Fill the holes") + 1);
    EXPECT_THAT(stage(r, "Cut the post heads").actions, Contains(HasSubstr("one level round all the posts")));
    const Verdict v = verify(*structure, solids, r.stages, {}, {2});
    EXPECT_TRUE(v.accepted()) << name << " stage " << v.stage << ": " << v.why;

    // Sawn before the concrete has set, or after something lies on them, they are refused.
    std::vector<Stage> early = r.stages;
    std::swap(early[static_cast<std::size_t>(cut) - 1], early[static_cast<std::size_t>(cut) - 2]);
    EXPECT_EQ(verify(*structure, solids, early, {}, {2}).fault, Fault::wet_concrete);
    std::vector<Stage> late = r.stages;
    std::swap(late[static_cast<std::size_t>(cut) - 1], late[static_cast<std::size_t>(cut)]);
    EXPECT_EQ(verify(*structure, solids, late, {}, {2}).fault, Fault::not_a_step);
  }
}

/// A bolt that comes out where a rail is to go gets its nut before the rail is there, or there is no order.
TEST(Access, ANutIsPutOnBeforeWhatHidesIt) {
  auto arbor = example("arbor");
  for (Fixing& f : arbor->fixings)
    if (f.through.size() == 3) {
      f.kind = timber::FixingKind::coach_bolt;
      f.length = 210, f.head.z = 2150, f.head.x += f.head.x < 0 ? -25 : 25;  // it comes out inside the top rail
    }
  const Report r = report(*arbor);
  EXPECT_THAT(r.stages[1].title, Not(HasSubstr("Make the"))) << "no side can be made whole before";
  std::size_t bolts = r.stages.size(), last_rail = 0;
  for (std::size_t i = 0; i < r.stages.size(); ++i) {
    for (const FixingCount& f : r.stages[i].fixings)
      if (f.item.find("10x160") != std::string::npos) bolts = std::min(bolts, i);
    for (const std::string& mark : r.stages[i].adds)
      if (mark == "B1") last_rail = i;
  }
  EXPECT_LT(bolts, last_rail);
}

TEST(Completeness, NothingIsLeftOutAndNothingDoneTwice) {
  const auto arbor = example("arbor");
  Report r = report(*arbor);
  EXPECT_EQ(left_out(*arbor, r.stages), std::vector<std::string>{});
  Stage& roof = r.stages[r.stages.size() - 2];
  const Step last = roof.steps.back();
  roof.steps.pop_back();
  EXPECT_EQ(left_out(*arbor, r.stages).size(), 1U);
  roof.steps.push_back(last);
  roof.steps.push_back(last);
  EXPECT_THAT(left_out(*arbor, r.stages), Contains(HasSubstr("driven 2 times, not once")));
}

/// The frame's figure for one portal is the kernel's: K of two corners of two screws each, `spacing` apart.
TEST(Racking, AgreesWithTheKernelsPortal) {
  auto arbor = example("arbor");
  // Two posts and the top rail of the left side; each corner two brackets, one below the other.
  for (std::size_t f = 0, had = arbor->fixings.size(); f < had; ++f) {
    Fixing below = arbor->fixings[f];
    below.head.z -= 30;
    arbor->fixings.push_back(below);
  }
  const solid::Solids solids(*arbor);
  const Kit kit = make_kit(*arbor, solids, false);
  std::vector<int> bodies, fixings;
  for (int b = 0; b < kit.count(); ++b) {
    const std::string& id = kit.assembly.pieces[static_cast<std::size_t>(b)].id;
    if (id.starts_with("left front post") || id.starts_with("left back post") || id.starts_with("left top rail"))
      bodies.push_back(b);
  }
  ASSERT_EQ(bodies.size(), 3U);
  PieceSet set(kit.count());
  for (const int b : bodies) set.insert(b);
  for (std::size_t f = 0; f < kit.joined.size(); ++f)
    if (kit.joined[f].within(set)) fixings.push_back(static_cast<int>(f));
  ASSERT_EQ(fixings.size(), 4U);
  const Racking r = racking(kit, bodies, fixings);
  const Fixing& one = arbor->fixings[static_cast<std::size_t>(fixings[0])];
  const Fixing& two = arbor->fixings[static_cast<std::size_t>(fixings[2])];
  assembly::ScrewedPortal portal;
  portal.density_kg_m3 = arbor->sections[static_cast<std::size_t>(arbor->pieces[0].section.index)].density_dry_kg_m3;
  portal.screw_mm = one.diameter;
  portal.spacing_mm = norm(one.head - two.head);
  portal.height_mm = r.height_mm;
  portal.screws = 2;
  portal.push_n = kPush;
  EXPECT_NEAR(r.sway_mm, assembly::sway(portal), 1e-6 * r.sway_mm);
  EXPECT_TRUE(r.racks());
}

/// HSE, INDG143 (25 and 16 kg at knuckle height read at second hand, the other zones from memory).
TEST(Lifting, GuidelineFiguresAndTeams) {
  EXPECT_EQ(guideline_kg("man", 900), 25);
  EXPECT_EQ(guideline_kg("woman", 900), 16);
  EXPECT_EQ(guideline_kg("man", 1700), 10);
  EXPECT_EQ(guideline_kg("woman", 200), 7);
  EXPECT_NEAR(2 * 25 * team_share(2), 33.3, 0.1);
  EXPECT_NEAR(3 * 25 * team_share(3), 37.5, 1e-9);
}

TEST(Rates, TheFileInDocsHoldsTheBuiltInNumbers) {
  std::stringstream text;
  text << std::ifstream(testing::kSource / "docs" / "rates.toml").rdbuf();
  const Result<Rates> read = parse_rates(text.str(), "docs/rates.toml");
  ASSERT_TRUE(read) << told(read.error());
  Rates zero;
  const Rates built_in;
  const auto arbor = example("arbor");
  Options given;
  given.rates = *read;
  EXPECT_EQ(report(*arbor, given).effort, report(*arbor).effort);
  EXPECT_EQ(read->setting_h, built_in.setting_h);
  EXPECT_EQ(read->person, built_in.person);
}

TEST(Rates, AWrongRateIsNamedWithItsLine) {
  const auto fault = [](const char* text) {
    const Result<Rates> r = parse_rates(text, "rates.toml");
    return r ? std::string("none") : to_string(r.error().front());
  };
  EXPECT_EQ(fault("screw = 1"), "none");
  EXPECT_THAT(fault("screw = 1\nscrw = 2"), HasSubstr("rates.toml:2:8: error: there is no rate \"scrw\""));
  EXPECT_THAT(fault("screw = -1"), HasSubstr("screw is no number from 0 to 100000"));
  EXPECT_THAT(fault("person = 3"), HasSubstr("neither man nor woman"));
  EXPECT_THAT(fault("screw ="), HasSubstr("rates.toml:1"));
}

TEST(Words, SayWhereThingsComeFrom) {
  EXPECT_EQ(comes_from({0, 0, -1}), "from above");
  EXPECT_EQ(comes_from({0, 1, 0}), "from the front");
  EXPECT_EQ(comes_from(unit(Vec3{1, 0, -1})), "from the left and above");
  EXPECT_EQ(listed({"A1", "B1", "C1"}), "A1, B1 and C1");
}

TEST(Report, IsTheSameTwice) {
  const auto arbor = example("arbor");
  const Report a = report(*arbor), b = report(*arbor);
  EXPECT_EQ(titles(a), titles(b));
  for (std::size_t i = 0; i < a.stages.size(); ++i) EXPECT_EQ(a.stages[i].actions, b.stages[i].actions);
}

}  // namespace
}  // namespace garthwright::sequence
