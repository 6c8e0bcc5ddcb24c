// SPDX-License-Identifier: Apache-2.0
//
// What the sheet of checks says of a few invented results.
#include <gtest/gtest.h>

#include <algorithm>

#include "sheets/sample_plan.h"
#include "sheets/sheets.h"

namespace garthwright::sheets {
namespace {

/// An invented result for a piece of the sample.
Check check_of(CheckKind kind, int piece, double used, Verdict verdict) {
  Check c = new_check(kind, {body(PieceId{piece})});
  c.part = PartId{0};
  c.when = {kWinter, "gale", ""};
  c.demand = used, c.capacity = 1, c.unit = "kN", c.utilisation = used, c.verdict = verdict;
  c.source = "a clause", c.plain = "Too weak.";
  return c;
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
  plan.strength.checks = {check_of(CheckKind::shear, 0, 0.31, Verdict::ok),
                          check_of(CheckKind::bending, 0, 1.21, Verdict::fails),
                          check_of(CheckKind::sag, 0, 1.84, Verdict::fails)};
  plan.ground.checks = {check_of(CheckKind::uplift, 0, 2.5, Verdict::attention)};
  const auto words = words_of(plan);
  EXPECT_GE(place_of(words, "4 checks were made: 2 fail, 1 are in doubt, 1 are enough."), 0);
  const auto worst = place_of(words, "sag of post"), next = place_of(words, "bending with axial"),
             doubt = place_of(words, "posts pulled up"), enough = place_of(words, "shear of post");
  EXPECT_TRUE(0 < worst && worst < next && next < doubt && doubt < enough) << testing::PrintToString(words);
  EXPECT_EQ(std::count(words.begin(), words.end(), "FAILS"), 2);
  EXPECT_EQ(std::count(words.begin(), words.end(), "184 %"), 1);
  EXPECT_GE(place_of(words, "Too weak."), 0) << "the combination stands in its own column";
  EXPECT_GE(place_of(words, "Loads: a winter: gale."), 0);
}

TEST(ChecksSheet, TellsManyDoubtsOfOneKindOnceAndLeavesNoneOut) {
  Plan plan = sample_plan();
  std::string told;
  for (int i = 0; i < 5; ++i) {
    plan.strength.checks.push_back(check_of(CheckKind::sag, i, 1 + i / 10.0, Verdict::attention));
    if (i == 4) continue;
    const std::string line =
        fmt::format("{}, {} %", garthwright::words_of(plan, plan.strength.checks.back()).title, 100 + 10 * i);
    told = line + (told.empty() ? "." : "; " + told);
  }
  std::string all;
  for (const auto& w : words_of(plan)) all += w + " ";
  EXPECT_NE(all.find("Likewise: " + told), std::string::npos) << all;
}

}  // namespace
}  // namespace garthwright::sheets
