// SPDX-License-Identifier: Apache-2.0
#include "plan/standing.h"

#include <gtest/gtest.h>

#include "pattern/patterns_for_tests.h"
#include "plan/read_site.h"

namespace garthwright {
namespace {

struct Garden {
  Structure structure;
  Site site;
};
Garden built(const std::string& site, const std::string& pattern, const std::string& choices) {
  const std::string more = "[site]\n" + site;
  const auto job = pattern::testing::job_of(pattern, choices, more);
  if (!job) throw std::runtime_error(to_string(job.error().front()));
  Diagnostics problems;
  Site where = read_site(*job, problems);
  return {pattern::testing::built(pattern, choices, more), std::move(where)};
}
bool fails(const Check& c) { return c.verdict == Verdict::fails; }

std::size_t failing(const Garden& g) {
  const Standing all = standing({g.structure}, g.site);
  std::size_t n = 0;
  for (const auto* checks : {&all.strength.checks, &all.ground.checks})
    for (const Check& c : *checks) n += fails(c);
  return n;
}

// What is found in haste is found at leisure too, and where nothing is, nothing is.
TEST(FirstBad, IsThereWhenAndOnlyWhenACheckFails) {
  const std::string calm = "wind_speed = 15\nexposure = \"sheltered\"\nsnow = 0\nclimber = \"none\"";
  const std::string post = "height = 1500\nin_ground = 900\npost = \"6x6\"";
  for (const Garden& g : {built("wind_speed = 24", "arbor", "opening = 1350"), built(calm, "mast", post),
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
  const Garden g = built("wind_speed = 24", "arbor", "opening = 1350");
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

}  // namespace
}  // namespace garthwright
