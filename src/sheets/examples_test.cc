// SPDX-License-Identifier: Apache-2.0
//
// Every example job, on both papers: no lettering meets other lettering, a line or the edge of the page, and two runs
// give the same bytes.
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>

#include "base/source_dir_for_tests.h"
#include "sheets/inspect.h"
#include "sheets/joint_kinds.h"
#include "sheets/sheets.h"

namespace garthwright::sheets {
namespace {

const std::filesystem::path kSource = source_dir();

std::vector<std::string> example_names() {
  std::vector<std::string> names;
  for (const auto& entry : std::filesystem::directory_iterator(kSource / "examples")) {
    if (entry.path().extension() == ".toml") names.push_back(entry.path().stem().string());
  }
  std::sort(names.begin(), names.end());
  return names;
}

std::string told(const std::vector<std::string>& lines) {
  std::string out;
  for (const std::string& l : lines) out += l + "\n";
  return out;
}

Result<Plan> plan_of(const std::string& name) {
  const auto path = kSource / "examples" / (name + ".toml");
  std::stringstream text;
  text << std::ifstream(path).rdbuf();
  const pattern::Shelves shelves{{(kSource / "patterns").string()}, {(kSource / "catalogues").string()}};
  return pattern::parse_job(text.str(), path.string(), shelves).and_then([&](const pattern::Job& job) {
    return make_plan(job, shelves, {.order = sequence::Options{}});
  });
}

class EveryExample : public testing::TestWithParam<std::string> {};

TEST_P(EveryExample, PrintsSheetsThatCanBeRead) {
  const Result<Plan> plan = plan_of(GetParam());
  ASSERT_TRUE(plan.has_value()) << to_string(plan.error().front());
  for (const Structure& structure : plan->garden.structures) {
    std::multiset<int> told;
    for (const JointSort& sort : joint_sorts(structure))
      for (const JointPlace& place : sort.places) told.insert(place.fixings.begin(), place.fixings.end());
    EXPECT_EQ(told.size(), structure.fixings.size()) << "every fixing belongs to one joint of the joints' sheet";
    EXPECT_EQ(std::set<int>(told.begin(), told.end()).size(), told.size());
  }
  for (const SheetOptions& options : {SheetOptions{Paper::a4, {}, false}, SheetOptions{Paper::letter, {}, true}}) {
    const std::vector<Sheet> sheets = draw_sheets(*plan, options);
    const std::string bytes = pdf_bytes(sheets, pdf_info(*plan));
    if (const char* folder = std::getenv("GARTHWRIGHT_SHEETS")) {
      std::ofstream(std::string(folder) + "/" + GetParam() + (options.both_units ? "-letter" : "") + ".pdf") << bytes;
    }
    for (const Sheet& sheet : sheets) {
      EXPECT_EQ(told(faults(sheet)), "");
      EXPECT_EQ(told(crossed_text(sheet)), "");
    }
    EXPECT_TRUE(bytes == pdf_bytes(draw_sheets(*plan, options), pdf_info(*plan))) << "two runs differ";
    // What is measured when the timber comes shares a page, or fills a third of its own.
    for (const Sheet& sheet : sheets)
      if (sheet.id == "receiving" && options.paper == Paper::a4) {
        EXPECT_GT(sheet.filled_to, sheet.height / 3);
      }
    // Of a small arbor, what is not full size.
    const auto drawn = std::count_if(sheets.begin(), sheets.end(), [](const Sheet& s) { return s.id != "templates"; });
    if (GetParam() == "arbor" && options.paper == Paper::a4) {
      EXPECT_LE(drawn, 20);
    }
  }
}

INSTANTIATE_TEST_SUITE_P(All, EveryExample, testing::ValuesIn(example_names()), [](const auto& info) {
  std::string name = info.param;
  std::replace_if(
      name.begin(), name.end(), [](unsigned char c) { return std::isalnum(c) == 0; }, '_');
  return name;
});

}  // namespace
}  // namespace garthwright::sheets
