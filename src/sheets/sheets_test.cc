// SPDX-License-Identifier: Apache-2.0
#include "sheets/sheets.h"

#include <gtest/gtest.h>

#include <cstdlib>
#include <fstream>

#include "sheets/inspect.h"
#include "sheets/sample_plan.h"

namespace garthwright::sheets {
namespace {

std::string told(const std::vector<std::string>& lines) {
  std::string out;
  for (const std::string& l : lines) out += l + "\n";
  return out;
}

struct Setting {
  const char* name;
  Sizes sizes;
  SheetOptions options;
};

class EverySheet : public testing::TestWithParam<Setting> {};

TEST_P(EverySheet, CanBeRead) {
  const Plan plan = sample_plan(GetParam().sizes);
  const std::vector<Sheet> sheets = draw_sheets(plan, GetParam().options);
  // For whoever wants to look: GARTHWRIGHT_SHEETS=/some/folder keeps the set.
  if (const char* folder = std::getenv("GARTHWRIGHT_SHEETS")) {
    std::ofstream(std::string(folder) + "/" + GetParam().name + ".pdf") << pdf_bytes(sheets, pdf_info(plan));
    std::ofstream(std::string(folder) + "/" + GetParam().name + ".svg") << svg_bytes(sheets.front());
  }
  for (const Sheet& sheet : sheets) {
    EXPECT_EQ(told(faults(sheet)), "");
    EXPECT_EQ(told(crossed_text(sheet)), "");
    EXPECT_GT(all_text(sheet).size(), 10u) << sheet.title;
  }
}

INSTANTIATE_TEST_SUITE_P(All, EverySheet,
                         testing::Values(Setting{"metric_a4", metric_sizes(), {}},
                                         Setting{"metric_letter_both", metric_sizes(), {Paper::letter, {}, true}},
                                         Setting{"american_letter", american_sizes(), {Paper::letter, {}, false}},
                                         Setting{"american_a4_both", american_sizes(), {Paper::a4, {}, true}}),
                         [](const auto& info) { return std::string(info.param.name); });

}  // namespace
}  // namespace garthwright::sheets
