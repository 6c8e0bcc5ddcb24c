// SPDX-License-Identifier: Apache-2.0
//
// What the sheet of checks says of a few invented results.
#include <gtest/gtest.h>

#include <algorithm>

#include "sheets/sample_plan.h"
#include "sheets/sheets.h"

namespace garthwright::sheets {
namespace {

Check check_of(const std::string& id, const std::string& title, double used, Verdict verdict) {
  return {id, title, "Rose arbor", used, 1, "kN", used, verdict, "a clause", "gale", "Too weak (gale).", ""};
}

std::vector<std::string> words_of(const Plan& plan) {
  std::vector<std::string> words;
  for (const Sheet& sheet : draw_sheets(plan, {Paper::a4, {"checks"}, false})) {
    for (const Text* t : all_text(sheet)) words.push_back(t->words);
  }
  return words;
}

std::ptrdiff_t place_of(const std::vector<std::string>& words, const std::string& start) {
  const auto at = std::find_if(words.begin(), words.end(), [&](const auto& w) { return w.starts_with(start); });
  return at == words.end() ? -1 : at - words.begin();
}

TEST(ChecksSheet, SaysWhenNothingWasChecked) {
  const auto words = words_of(sample_plan());
  EXPECT_GE(place_of(words, "NOTHING WAS CHECKED"), 0);
  EXPECT_EQ(place_of(words, "ok"), -1) << "nothing may look like a pass";
}

TEST(ChecksSheet, ShowsFailuresFirstThenDoubtsThenTheRest) {
  Plan plan = sample_plan();
  plan.strength.checks = {check_of("a/A1/shear", "shear of post", 0.31, Verdict::ok),
                          check_of("a/A1/bending", "bending of post", 1.21, Verdict::fails),
                          check_of("a/C1/bending", "bending of beam", 1.84, Verdict::fails)};
  plan.ground.checks = {check_of("a/footing/top", "loose top", 2.5, Verdict::attention)};
  const auto words = words_of(plan);
  EXPECT_GE(place_of(words, "4 checks were made: 2 fail, 1 are in doubt, 1 are enough."), 0);
  const auto worst = place_of(words, "bending of beam"), next = place_of(words, "bending of post"),
             doubt = place_of(words, "loose top"), enough = place_of(words, "shear of post");
  EXPECT_TRUE(0 < worst && worst < next && next < doubt && doubt < enough) << testing::PrintToString(words);
  EXPECT_EQ(std::count(words.begin(), words.end(), "FAILS"), 2);
  EXPECT_EQ(std::count(words.begin(), words.end(), "184 %"), 1);
  EXPECT_GE(place_of(words, "Too weak."), 0) << "the combination stands in its own column";
  EXPECT_GE(place_of(words, "Loads: a gale."), 0);
}

TEST(ChecksSheet, TellsManyDoubtsOfOneKindOnceAndLeavesNoneOut) {
  Plan plan = sample_plan();
  for (int i = 1; i <= 5; ++i) {
    plan.strength.checks.push_back(
        check_of(fmt::format("a/X{}/spacing", i), fmt::format("place {}", i), 1 + i / 10.0, Verdict::attention));
  }
  std::string all;
  for (const auto& w : words_of(plan)) all += w + " ";
  EXPECT_NE(all.find("Likewise: place 4, 140 %; place 3, 130 %; place 2, 120 %; place 1, 110 %."), std::string::npos)
      << all;
}

}  // namespace
}  // namespace garthwright::sheets
