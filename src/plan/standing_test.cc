// SPDX-License-Identifier: Apache-2.0
#include "plan/standing.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "ground/elastic_posts.h"
#include "pattern/patterns_for_tests.h"
#include "plan/read_site.h"

namespace garthwright {
namespace {

struct OnSite {
  Structure structure;
  Site site;
};
OnSite built(const std::string& site, const std::string& pattern, const std::string& choices) {
  const std::string more = "[site]\n" + site;
  const auto job = pattern::testing::job_of(pattern, choices, more);
  if (!job) throw std::runtime_error(to_string(job.error().front()));
  Diagnostics problems;
  Site where = read_site(*job, problems);
  return {pattern::testing::built(pattern, choices, more), std::move(where)};
}
bool fails(const Check& c) { return c.verdict == Verdict::fails; }

std::size_t failing(const OnSite& g) {
  const Standing all = standing({{g.structure}}, g.site);
  std::size_t n = 0;
  for (const auto* checks : {&all.strength.checks, &all.ground.checks})
    for (const Check& c : *checks) n += fails(c);
  return n;
}

// What is found in haste is found at leisure too, and where nothing is, nothing is.
TEST(FirstBad, IsThereWhenAndOnlyWhenACheckFails) {
  const std::string calm = "wind_speed = 15\nexposure = \"sheltered\"\nsnow = 0\nclimber = \"none\"";
  const std::string post = "height = 1500\nin_ground = 900\npost = \"6x6\"";
  for (const OnSite& g : {built("wind_speed = 24", "arbor", "opening = 1350"), built(calm, "mast", post),
                          built("wind_speed = 30\nexposure = \"open\"", "mast", "in_ground = 300\npost = \"3x3\"")}) {
    const std::size_t n = failing(g);
    const std::optional<Check> first = first_bad(g.structure, g.site, fails);
    EXPECT_EQ(first.has_value(), n > 0) << g.structure.pattern << ", " << n << " fail";
    if (!first) continue;
    // Begun in its own situation it is found there.
    const std::optional<Check> again = first_bad(g.structure, g.site, fails, {first->when});
    ASSERT_TRUE(again);
    EXPECT_EQ(again->when, first->when);
  }
}

// One frame for many winds says what a frame made for each says.
TEST(WhatGives, KnowsNothingOfTheWindsBefore) {
  const OnSite g = built("wind_speed = 24", "arbor", "opening = 1350");
  WhatGives one(g.structure, g.site);
  for (const double wind : {5.0, 24.0, 12.0}) {
    Site site = g.site;
    site.wind_m_s = wind;
    const std::vector<Check> with = one.under(site, {State::Kind::overgrown, {}});
    const std::vector<Check> anew = WhatGives(g.structure, site).under(site, {State::Kind::overgrown, {}});
    ASSERT_EQ(with.size(), anew.size());
    for (std::size_t i = 0; i < with.size(); ++i) {
      EXPECT_EQ(key_of(with[i], g.structure), key_of(anew[i], g.structure));
      EXPECT_NEAR(with[i].utilisation, anew[i].utilisation, 1e-6 * (1 + anew[i].utilisation));
      EXPECT_EQ(with[i].verdict, anew[i].verdict);
    }
  }
}

// A stout post turns in the ground as a stiff body: shift at the surface and turn of a rigid post in soil whose
// stiffness rises with depth (statics of a rigid bar; ground::rigid_post_rising), however thick the timber.
TEST(Ground, MovesAStoutPostAsARigidOne) {
  for (const double deep : {700.0, 1100.0, 1500.0}) {
    const OnSite g = built("wind_speed = 24\nsoil = \"sand\"\nclimber = \"none\"", "mast",
                           fmt::format("height = 1500\nin_ground = {}\npost = \"6x6\"", deep));
    const auto solved = strength::solve(g.structure, g.site, ground_under(g.structure, g.site));
    ASSERT_TRUE(solved);
    const strength::Base& base = solved->model.bases.front();
    const double depth = deep - g.structure.footings.front().gravel;
    const double n = 2 * solved->model.frame.supports[base.support].stiffness[0] / (depth * depth);  // n L²/2
    const frame::NodeIndex ground = solved->model.stations[0].front().second;
    int pushed = 0;
    for (const strength::Case& c : solved->service) {
      const frame::Wrench r = solved->reaction(c, base.support);
      const double h = std::hypot(r.force_n[0], r.force_n[1]);
      if (h < 1) continue;
      const double mx = r.moment_nmm[0] + base.depth_mm * r.force_n[1];
      const double my = r.moment_nmm[1] - base.depth_mm * r.force_n[0];
      const ground::RigidPost rigid = ground::rigid_post_rising(h, std::hypot(mx, my) / h, depth, n);
      const Vec3 at_ground = solved->shift(c, ground);
      EXPECT_NEAR(std::hypot(at_ground.x, at_ground.y), rigid.shift_mm, 0.01 * rigid.shift_mm) << deep;
      ++pushed;
    }
    EXPECT_GT(pushed, 0);
  }
}

TEST(Ground, HoldsAPostTheStifferTheDeeperItStands) {
  double before = std::numeric_limits<double>::infinity();
  for (const int deep : {600, 800, 1000, 1200, 1350, 1500}) {
    const OnSite g = built("wind_speed = 24\nclimber = \"none\"", "mast",
                           fmt::format("height = 1800\nin_ground = {}\npost = \"6x6\"", deep));
    const Standing all = standing({{g.structure}}, g.site);
    const auto sway = std::find_if(all.strength.checks.begin(), all.strength.checks.end(),
                                   [](const Check& c) { return c.kind == CheckKind::sway; });
    ASSERT_NE(sway, all.strength.checks.end());
    EXPECT_LT(sway->demand, before) << deep;
    before = sway->demand;
  }
}

}  // namespace
}  // namespace garthwright
