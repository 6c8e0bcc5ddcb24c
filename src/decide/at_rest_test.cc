// SPDX-License-Identifier: Apache-2.0
#include "decide/at_rest.h"

#include <gtest/gtest.h>

#include <random>

#include "decide/shelves_for_tests.h"
#include "plan/standing.h"
#include "strength/fixing_checks.h"
#include "structure/joinery.h"

namespace garthwright::decide {
namespace {

const std::string kBraces = "knee brace to post";

Structure arbor(const std::string& choices, const std::string& catalogue = "harrow-lane") {
  const pattern::Job job =
      pattern::parse_job("format = 1\n[timber]\ncatalogue = \"" + catalogue +
                             "\"\n[[structure]]\npattern = \"arbor\"\n[structure.choices]\n" + choices,
                         "job.toml", shipped_shelves())
          .value();
  int letter = 0;
  return pattern::build(job, job.orders.front(), shipped_shelves(), 0, letter).value().structure;
}

Site site_of(const std::string& catalogue) {
  Site site;
  site.route = catalogue == "mill-creek" ? Site::Route::us : Site::Route::en;
  return site;
}

/// What is too near at rest is found too near under forces from any side, great and small, by the strength study.
TEST(AtRest, NoForceMakesWhatIsTooNearFarEnough) {
  std::mt19937 random(1);
  std::uniform_real_distribution<double> any(-1, 1);
  int looked_at = 0;
  for (const std::string catalogue : {"harrow-lane", "mill-creek"})
    for (const std::string leg : {"300", "450", "600"}) {
      const Structure s = arbor("opening = 1350\nbrace_leg = " + leg + "\n", catalogue);
      const Site site = site_of(catalogue);
      const auto near = too_near_at_rest(s, site);
      if (!near) continue;
      for (int turn = 0; turn < 100; ++turn) {
        strength::LoadedCase c{{kBare, "any", ""}, {}, {}};
        for (const int f : fixings_of(s, s[near->joint])) {
          const double size = std::pow(10, 4 * std::abs(any(random)));
          c.forces.push_back(
              {f, s[near->joint].a, s[near->joint].b, size * Vec3{any(random), any(random), any(random)}});
        }
        const std::vector<Check> checks = strength::judge_fixings(s, site, {c});
        const auto spacing =
            std::find_if(checks.begin(), checks.end(), [](const Check& k) { return k.kind == CheckKind::spacing; });
        ASSERT_NE(spacing, checks.end());
        EXPECT_EQ(spacing->verdict, Verdict::fails) << catalogue << " " << leg << " " << spacing->plain;
        ++looked_at;
      }
    }
  EXPECT_GE(looked_at, 300);
}

/// An arbor without braces, which passes, has none; nor has what passes its own checks of distances.
TEST(AtRest, SaysNothingOfJointsThatKeepTheirDistances) {
  EXPECT_FALSE(too_near_at_rest(arbor("opening = 1350\n"), site_of("harrow-lane")));
}

TEST(AtRest, SurroundingsAreWhatIsNear) {
  const auto with = [](const std::string& more) {
    return surroundings_of(arbor("opening = 1350\nbrace_leg = 400\n" + more), kBraces);
  };
  const DigestKey key = with("in_ground = 900\n");
  EXPECT_EQ(with("in_ground = 1200\n"), key);
  EXPECT_EQ(with("in_ground = 900\nhole_diameter = 400\nrafters = 6\n"), key);
  EXPECT_NE(with("in_ground = 900\npost = \"5x5\"\n"), key);
  EXPECT_NE(with("in_ground = 900\nbrace = \"4x2\"\n"), key);
  EXPECT_NE(surroundings_of(arbor("opening = 1350\nbrace_leg = 500\nin_ground = 900\n"), kBraces), key);
}

}  // namespace
}  // namespace garthwright::decide
