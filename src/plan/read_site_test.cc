// SPDX-License-Identifier: Apache-2.0
#include "plan/read_site.h"

#include <fmt/format.h>
#include <gmock/gmock.h>

#include "base/source_dir_for_tests.h"
#include "plan/plan.h"

namespace garthwright {
namespace {

using testing::HasSubstr;
using testing::Not;

const std::string kSource = source_dir();

Result<Plan> planned(const std::string& site, const std::string& yard = "harrow-lane",
                     const std::string& structure = "pattern = \"arbor\"\n[structure.choices]\nopening = 1350") {
  const pattern::Shelves shelves{{kSource + "/patterns"}, {kSource + "/catalogues"}};
  const auto job = pattern::parse_job(
      fmt::format("format = 1\n[site]\n{}\n[timber]\ncatalogue = \"{}\"\n[[structure]]\n{}\n", site, yard, structure),
      "job.toml", shelves);
  if (!job) return tl::make_unexpected(job.error());
  return make_plan(*job, shelves);
}
Site site_of(const std::string& text, const std::string& yard = "harrow-lane") {
  const auto plan = planned(text, yard);
  if (!plan) throw std::runtime_error(to_string(plan.error().front()));
  return plan->site;
}
std::string refusal(const std::string& text) {
  const auto plan = planned(text);
  return plan ? "none" : to_string(plan.error().front());
}

// EN 1991-1-4 Table 4.1, ASCE 7 26.7.3.
TEST(ReadSite, ExposureIsSaidInPlainWordsOrTheCodesLetters) {
  const std::vector<std::array<const char*, 3>> rows{
      {"sheltered", "IV", "B"}, {"average", "III", "B"}, {"open", "II", "C"}, {"coast", "0", "D"},
      {"C", "II", "C"},         {"D", "0", "D"},         {"III", "III", "B"}, {"I", "I", "D"}};
  for (const auto& [word, terrain, letter] : rows)
    for (const char* yard : {"harrow-lane", "mill-creek"}) {
      const Site site = site_of(fmt::format("exposure = \"{}\"", word), yard);
      EXPECT_EQ(site.terrain, terrain) << word;
      EXPECT_EQ(site.exposure_letter, letter) << word;
      EXPECT_THAT(site.assumed, Not(HasSubstr("exposure")));
    }
  EXPECT_EQ(site_of("terrain = \"II\"").terrain, "II");
  EXPECT_THAT(refusal("exposure = \"windy\""), HasSubstr("exposure \"windy\" is not known"));
  // Names of several words are known however they are joined.
  EXPECT_EQ(site_of("climber = \"grape vine\"").climber, "grape_vine");
  EXPECT_EQ(site_of("climber = \"grape_vine\"").climber, "grape_vine");
  EXPECT_EQ(site_of("soil = \"stiff-clay\"").soil, "stiff clay");
}

TEST(ReadSite, WhatIsNotSaidIsAverageAndNoted) {
  const Site site = site_of("");
  EXPECT_EQ(site.terrain, "III");
  EXPECT_THAT(site.assumed, HasSubstr("exposure average (EN 1991-1-4 terrain III)"));
  EXPECT_THAT(site.assumed, HasSubstr("wind short-term on timber, kmod 0.7 (no country given)"));
  EXPECT_THAT(site_of("", "mill-creek").assumed, HasSubstr("exposure average (ASCE 7 exposure B)"));
}

// More open is never less wind: through the plan that users get.
TEST(ReadSite, AMoreOpenGardenAsksMore) {
  for (const char* yard : {"harrow-lane", "mill-creek"}) {
    std::vector<double> before;
    for (const char* word : {"sheltered", "average", "open", "coast"}) {
      const auto plan = planned(fmt::format("exposure = \"{}\"", word), yard);
      ASSERT_TRUE(plan);
      std::vector<double> used;
      for (const Check* c : all_checks(*plan)) used.push_back(c->utilisation);
      // Distances hang on which way a force points, and that turns a little as wind outgrows weight; a greater push
      // that crushes the rim of a seat stands farther in, where more bears it.
      const auto part = [&](std::size_t i) {
        const CheckKind kind = all_checks(*plan)[i]->kind;
        return kind == CheckKind::spacing ? 0.99 : kind == CheckKind::bearing ? 0.98 : 1 - 1e-9;
      };
      ASSERT_TRUE(before.empty() || before.size() == used.size());
      for (std::size_t i = 0; i < before.size(); ++i)
        EXPECT_GE(used[i], before[i] * part(i)) << word << ' ' << words_of(*plan, *all_checks(*plan)[i]).id;
      before = used;
    }
  }
}

TEST(ReadSite, CountryFoliageAndConsequence) {
  EXPECT_TRUE(site_of("country = \"GB\"").wind_is_instantaneous);
  EXPECT_FALSE(site_of("country = \"DE\"").wind_is_instantaneous);
  EXPECT_THAT(refusal("country = \"XX\""), HasSubstr("country \"XX\" is not known"));
  EXPECT_TRUE(site_of("foliage = \"closed\"").closed_foliage);
  EXPECT_FALSE(site_of("").closed_foliage);
  EXPECT_TRUE(site_of("consequence = \"RC1\"").low_consequence);
  EXPECT_TRUE(site_of("consequence = \"low\"").low_consequence);
  EXPECT_FALSE(site_of("consequence = \"normal\"").low_consequence);
}

/// What was measured goes before what is presumed, in its own words, and is told to be the user's.
TEST(ReadSite, ClayMayBeMeasured) {
  const auto holes = [](const std::string& site, const std::string& yard) {
    std::vector<std::string> words;
    const auto plan = planned(site, yard);
    for (const Check* check : all_checks(plan.value()))
      if (check->kind == CheckKind::soil || check->kind == CheckKind::sideways) words.push_back(check->plain);
    return fmt::format("{}", fmt::join(words, "\n"));
  };
  EXPECT_THAT(holes("soil = \"soft clay\"", "harrow-lane"), HasSubstr("clay_strength = 30 for 30 kPa"));
  EXPECT_THAT(holes("soil = \"soft clay\"\nclay_strength = 25", "harrow-lane"),
              HasSubstr("in soft clay of 25 kPa, as measured"));
  EXPECT_THAT(holes("soil = \"soft clay\"\nclay_strength = 600", "mill-creek"),
              HasSubstr("in soft clay of 600 psf, as measured"));
  EXPECT_NEAR(site_of("soil = \"soft clay\"\nclay_strength = 600", "mill-creek").clay_kpa, 28.728, 0.001);
  const auto plan = planned("soil = \"soft clay\"\nclay_strength = 25");
  EXPECT_THAT(fmt::format("{}", fmt::join(plan->cautions, "\n")),
              HasSubstr("The posts are held by soft clay of 25 kPa, as measured by whoever wrote the job."));
  EXPECT_THAT(refusal("soil = \"soft clay\"\nclay_strength = 5"), HasSubstr("give 10 to 300 kPa"));
  EXPECT_THAT(refusal("clay_strength = 30"), HasSubstr("clay_strength is of clay, and the soil is sand"));
  EXPECT_THAT(refusal("soil = \"peat\"\nclay_strength = 30"), HasSubstr("the soil is peat"));
}

TEST(ReadSite, AHouseIsAssumedWhereSomethingLeansOnIt) {
  const std::string leaning =
      "pattern = \"pergola\"\n[structure.choices]\nlength = 3000\ndepth = 2400\nagainst = \"wall\"";
  const auto silent = planned("", "harrow-lane", leaning);
  ASSERT_TRUE(silent);
  EXPECT_THAT(silent->site.assumed, HasSubstr("a house with its eaves"));
  const auto said = planned("house_pitch = 0", "harrow-lane", leaning);
  ASSERT_TRUE(said);
  EXPECT_THAT(said->site.assumed, Not(HasSubstr("a house")));
  EXPECT_THAT(site_of("").assumed, Not(HasSubstr("a house")));
}

}  // namespace
}  // namespace garthwright
