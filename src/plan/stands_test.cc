// SPDX-License-Identifier: Apache-2.0
#include "plan/stands.h"

#include <fmt/format.h>
#include <gmock/gmock.h>

#include "base/source_dir_for_tests.h"
#include "plan/plan.h"

namespace garthwright {
namespace {

using testing::HasSubstr;
using testing::Not;

const std::string kSource = source_dir();

Plan planned(const std::string& site, const std::string& structure, const std::string& yard = "harrow-lane",
             bool stands = true) {
  const pattern::Shelves shelves{{kSource + "/patterns", kSource + "/tests/patterns"}, {kSource + "/catalogues"}};
  const auto job = pattern::parse_job(
      fmt::format("format = 1\n[site]\n{}\n[timber]\ncatalogue = \"{}\"\n[[structure]]\nname = \"it\"\n{}\n", site,
                  yard, structure),
      "job.toml", shelves);
  if (!job) throw std::runtime_error(to_string(job.error().front()));
  PlanOptions options;
  options.stands = stands;
  auto plan = make_plan(*job, shelves, options);
  if (!plan) throw std::runtime_error(to_string(plan.error().front()));
  return *std::move(plan);
}
const Stand& in(const Plan& plan, State::Kind state) {
  for (const Stand& s : plan.stands)
    if (s.state == state) return s;
  throw std::runtime_error("no such state");
}
/// The row of a check in another plan of the same structure.
const Check& row(const Plan& plan, const CheckKey& key) {
  for (const Check* c : all_checks(plan))
    if (key_of(*c, plan.garden.structures[0]) == key) return *c;
  throw std::runtime_error("no such row");
}

const std::string kArbor = "pattern = \"arbor\"\n[structure.choices]\nopening = 1350";
const std::string kStrong =
    "pattern = \"arbor\"\n[structure.choices]\nopening = 1350\npost = \"6x6\"\nin_ground = 1200\nhole_diameter = 450";

// The wind that is named is the one: in the plan of a garden with a little less of it what gives first still holds, and
// with a little more it does not. The checks of those plans look at all states and know nothing of the search.
TEST(Stands, TheWindThatIsNamedIsTheOneThatPlansFind) {
  const std::string mast = "pattern = \"mast\"\n[structure.choices]\nheight = 2700\n";
  for (const std::string& structure :
       {mast + "in_ground = 800\npost = \"6x6\"", mast + "in_ground = 850\npost = \"6x6\""})
    for (const State::Kind state : {State::Kind::bare, State::Kind::overgrown}) {
      const std::string garden = fmt::format("exposure = \"sheltered\"\nsnow = 0\nclimber = \"{}\"\n",
                                             state == State::Kind::bare ? "none" : "wisteria");
      const Plan plan = planned(garden, structure);
      const Stand& s = in(plan, state);
      ASSERT_TRUE(s.first);
      ASSERT_GT(s.gives_at_m_s, 15.01) << "else [site] does not take such a wind";
      const auto at = [&](double wind) {
        return row(planned(garden + fmt::format("wind_speed = {}", wind), structure, "harrow-lane", false),
                   key_of(*s.first, plan.garden.structures[0]));
      };
      EXPECT_NE(at(s.gives_at_m_s - 0.01).verdict, Verdict::fails) << s.gives_at_m_s;
      EXPECT_EQ(at(s.gives_at_m_s + 0.3).verdict, Verdict::fails) << s.gives_at_m_s;
    }
}

TEST(Stands, AStrongerOneStandsToMore) {
  const Plan weak = planned("", kArbor), strong = planned("", kStrong);
  EXPECT_GE(in(strong, State::Kind::bare).gives_at_m_s, in(weak, State::Kind::bare).gives_at_m_s);
  EXPECT_GE(in(weak, State::Kind::bare).gives_at_m_s, in(weak, State::Kind::overgrown).gives_at_m_s);
  const Plan closed = planned("foliage = \"closed\"", kArbor);
  EXPECT_LE(in(closed, State::Kind::overgrown).gives_at_m_s, in(weak, State::Kind::overgrown).gives_at_m_s);
}

TEST(Stands, OneLineAPartSaysIt) {
  const Plan plan = planned("wind_speed = 24", kArbor);
  const std::vector<std::string> lines = stand_lines(plan.stands, plan.garden, plan.site);
  ASSERT_EQ(lines.size(), 1U);
  EXPECT_THAT(lines[0], HasSubstr("it: "));
  EXPECT_THAT(lines[0], HasSubstr("your garden asks 24 m/s"));
  EXPECT_THAT(lines[0], HasSubstr(" bare"));
  const Plan us = planned("", "pattern = \"arbor\"\n[structure.choices]\nopening = \"4 ft\"", "mill-creek");
  EXPECT_THAT(stand_lines(us.stands, us.garden, us.site)[0], HasSubstr("your garden asks 115 mph"));
}

// Ten kN/m² of snow break the rafters whatever the wind.
TEST(Stands, WhatFailsWithoutWindIsSaid) {
  const Plan plan = planned("snow = 10", kArbor);
  const Stand& winter = in(plan, State::Kind::winter);
  ASSERT_TRUE(winter.first);
  EXPECT_EQ(winter.gives_at_m_s, 0);
  EXPECT_FALSE(winter.enough());
  EXPECT_THAT(stand_lines(plan.stands, plan.garden, plan.site)[0], HasSubstr("in winter without any wind ("));
}

// In peat nothing may be sized: no wind is named.
TEST(Stands, WhatIsNotReckonedIsNoPass) {
  const Plan plan = planned("soil = \"peat\"", kArbor);
  for (const Stand& s : plan.stands) EXPECT_FALSE(s.enough());
  EXPECT_THAT(stand_lines(plan.stands, plan.garden, plan.site)[0], Not(HasSubstr("stands to")));
}

// Customary is said beside what is short, never instead of it, and not of what the trade would not build.
TEST(Stands, CustomaryIsNoPass) {
  const std::string usual = "pattern = \"arbor\"\n[structure.choices]\nopening = 1350\nin_ground = 800";
  const Plan plan = planned("wind_speed = 45", usual);
  ASSERT_TRUE(customary(plan.garden.structures[0]));
  const std::string line = stand_lines(plan.stands, plan.garden, plan.site)[0];
  EXPECT_THAT(line, HasSubstr("customary: "));
  EXPECT_THAT(line, HasSubstr("by the code it is short"));
  EXPECT_GT(count(plan, Verdict::fails), 0);
  const Plan shallow =
      planned("wind_speed = 45", "pattern = \"arbor\"\n[structure.choices]\nopening = 1350\nin_ground = 300");
  EXPECT_FALSE(customary(shallow.garden.structures[0]));
  EXPECT_THAT(stand_lines(shallow.stands, shallow.garden, shallow.site)[0], Not(HasSubstr("customary")));
}

}  // namespace
}  // namespace garthwright
