// SPDX-License-Identifier: Apache-2.0
#include "sheets/amounts.h"

#include <gtest/gtest.h>

#include "sheets/sample_plan.h"
#include "sheets/sheets.h"

namespace garthwright::sheets {
namespace {

// By hand: 22.68 kg / 0.45359237 = 50.0 lb; 160.318 l / 28.3168 = 5.66 cu ft; 0.946 l is a quart; 1 kN / 4.44822 N =
// 224.8 lbf; 10 N/mm² / 0.00689476 = 1450 psi; 25.4 mm is an inch.
TEST(Amounts, AreSaidInTheUnitsOfTheJob) {
  EXPECT_EQ(bag_words(Units::mm, 20), "20 kg bag");
  EXPECT_EQ(bag_words(Units::feet_inches, 22.68), "50 lb bag");
  EXPECT_EQ(tin_words(Units::mm, 1), "1 l tin");
  EXPECT_EQ(tin_words(Units::feet_inches, 0.946), "1 qt tin");
  EXPECT_EQ(volume_words(Units::mm, 160.318), "160.3 l");
  EXPECT_EQ(volume_words(Units::feet_inches, 160.318), "5.7 cu ft");
  EXPECT_EQ(volume_words(Units::feet_inches, 0.0946), "0.1 qt");
  EXPECT_EQ(mass_words(Units::feet_inches, 100), "220 lb");
  const Lengths metric{{Units::mm, 16, false}, false}, us{{Units::feet_inches, 16, true}, false};
  EXPECT_EQ(demand_words(metric, 0.456, 1.2, "kN"), "0.46 of 1.20 kN");
  EXPECT_EQ(demand_words(us, 1, 2, "kN"), "225 of 450 lbf");
  EXPECT_EQ(demand_words(us, 10, 20, "N/mm²"), "1450 of 2901 psi");
  EXPECT_EQ(demand_words(us, 25.4, 50.8, "mm"), "1\" of 2\"");
  EXPECT_EQ(demand_words(us, 3, 4, "1"), "3.00 of 4.00");
  EXPECT_EQ(demand_words(us, 3, 4, ""), "");
}

// No sheet of a job in feet and inches weighs in kilograms or pours litres.
TEST(Amounts, AmericanSheetsHaveNoMetricOnes) {
  const Plan plan = sample_plan(american_sizes());
  for (const Sheet& sheet : draw_sheets(plan, {Paper::letter, {"cover", "outside", "shopping", "pieces"}, false}))
    for (const Text* text : all_text(sheet))
      for (const char* metric : {" kg", " l needed", " kN"})
        EXPECT_EQ(text->words.find(metric), std::string::npos) << text->words;
}

}  // namespace
}  // namespace garthwright::sheets
