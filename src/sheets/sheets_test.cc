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

void PrintTo(const Setting& setting, std::ostream* out) { *out << setting.name; }

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
    if (!sheet.bare) {
      EXPECT_EQ(told(small_text(sheet)), "");
    }
    EXPECT_GT(all_text(sheet).size(), 10u) << sheet.title;
  }
}

INSTANTIATE_TEST_SUITE_P(All, EverySheet,
                         testing::Values(Setting{"metric_a4", metric_sizes(), {}},
                                         Setting{"metric_letter_both", metric_sizes(), {Paper::letter, {}, true}},
                                         Setting{"american_letter", american_sizes(), {Paper::letter, {}, false}},
                                         Setting{"american_a4_both", american_sizes(), {Paper::a4, {}, true}}),
                         [](const auto& info) { return std::string(info.param.name); });

std::vector<std::string> words_of(const std::vector<Sheet>& sheets) {
  std::vector<std::string> out;
  for (const Sheet& sheet : sheets) {
    for (const Text* t : all_text(sheet)) out.push_back(t->words);
  }
  return out;
}

// The piece list as it is printed, cell by cell. Sizes are the sample's: post 2150 + 600; rail one panel; beam 1250 +
// 2 × 45 + 2 × 260; rafter 610 + 2 × 95 + 2 × 45 + 2 × 240; brace 380 √2 = 537.4, as a pencil marks it. Masses at 700
// kg/m³.
TEST(PieceList, SaysWhatThePlanSays) {
  const Plan plan = sample_plan();
  const auto words = words_of(draw_sheets(plan, {Paper::a4, {"pieces"}, false}));
  const std::vector<std::string> rows{"A1",
                                      "post",
                                      "4",
                                      "4x2",
                                      "95 × 45",
                                      "2750",
                                      "8.2",
                                      "foot as bought where it can be",
                                      "B1",
                                      "rail",
                                      "4",
                                      "4x2",
                                      "95 × 45",
                                      "610",
                                      "1.8",
                                      "C1",
                                      "beam",
                                      "2",
                                      "6x2",
                                      "145 × 45",
                                      "1860",
                                      "8.5",
                                      "pick a straight one",
                                      "D1",
                                      "rafter",
                                      "6",
                                      "4x2",
                                      "95 × 45",
                                      "1370",
                                      "4.1",
                                      "E1",
                                      "brace",
                                      "4",
                                      "4x2",
                                      "95 × 45",
                                      "537.5",
                                      "1.6"};
  EXPECT_NE(std::search(words.begin(), words.end(), rows.begin(), rows.end()), words.end())
      << testing::PrintToString(words);
}

// The front elevation's numbers against the sizes the sample was built with.
TEST(Elevations, DimensionsAreTheModels) {
  const Sizes z = metric_sizes();
  const auto sheets = draw_sheets(sample_plan(z), {Paper::a4, {"elevations"}, false});
  const auto words = words_of({sheets.front()});
  const auto times = [&](double mm) {
    return std::count(words.begin(), words.end(), format_length(mm, {Units::mm, 16, false}));
  };
  EXPECT_EQ(times(z.opening), 1);
  EXPECT_EQ(times(z.side_overhang), 2);
  EXPECT_EQ(times(z.post_t), 2);
  EXPECT_EQ(times(z.opening + 2 * z.post_t + 2 * z.side_overhang), 1);
  EXPECT_EQ(times(z.in_ground), 2) << "in the front and the side view";
  EXPECT_EQ(times(z.panel_w), 1);
  // Rafters lie 45 below their halved seat on beams whose top is 40 above the posts: their top is 40 - 45 + 95 over.
  EXPECT_EQ(times(z.height + 40 - 45 + z.post_w), 2);
}

TEST(Sheets, TitleBlockCountsPagesAndTellsTheJob) {
  const auto sheets = draw_sheets(sample_plan());
  int page = 0;
  for (const Sheet& sheet : sheets) {
    const auto words = words_of({sheet});
    const auto has = [&](const std::string& w) { return std::find(words.begin(), words.end(), w) != words.end(); };
    EXPECT_TRUE(has(std::to_string(++page) + " of " + std::to_string(sheets.size()))) << sheet.title;
    EXPECT_TRUE(has("2031-04-09"));
    EXPECT_TRUE(has("Garden of the Weavers' Almshouse"));
  }
}

TEST(Sheets, AreChosenByName) {
  for (const std::string& kind : sheet_kinds()) {
    for (const Sheet& sheet : draw_sheets(sample_plan(), {Paper::a4, {kind}, false})) EXPECT_EQ(sheet.id, kind);
  }
  const auto wrong = check({Paper::a4, {"peices"}, false});
  ASSERT_FALSE(wrong.has_value());
  EXPECT_EQ(wrong.error().front().code, "unknown-sheet");
  EXPECT_NE(wrong.error().front().cure.find("pieces"), std::string::npos);
  EXPECT_FALSE(parse_paper("a5").has_value());
}

ChoiceThrift sample_thrift(const std::string& choice, int steps, bool proven) {
  ChoiceThrift out{"orchard arbor", choice, "length", "", {}};
  out.found.question = {choice, 600, 600.0 + 10 * steps, 1, 605};
  for (int i = 0; i < steps; ++i) {
    const std::int64_t cost = 40'000 + (i * 7919) % 9000;
    out.found.steps.push_back({600.0 + 10 * i, 609.0 + 10 * i, {cost}, {proven ? cost : cost - 700}, {}});
    if (i % 9 == 8) out.found.steps.back() = {600.0 + 10 * i, 609.0 + 10 * i, {}, {}, "it is too wide"};
  }
  out.found.now = out.found.steps.front().cost;
  return out;
}

TEST(Thrift, IsDrawnWhenThePlanHoldsIt) {
  Plan plan = sample_plan();
  const auto kinds_of = [&] {
    std::vector<std::string> kinds;
    for (const Sheet& sheet : draw_sheets(plan)) kinds.push_back(sheet.id);
    return kinds;
  };
  auto kinds = kinds_of();
  EXPECT_EQ(std::count(kinds.begin(), kinds.end(), "thrift"), 0);
  for (int i = 0; i < 9; ++i) plan.thrift.push_back(sample_thrift("side_overhang", 1 + 9 * i, i % 2 == 0));
  plan.thrift[2].found.cheaper = {{611, {39'000}, {1'000}, {"4x4: one 4.8 m length fewer"}, {"post 90 mm shorter"}},
                                  {700, {39'900}, {100}, {"one postmix fewer"}, {"rafter 12 mm longer"}}};
  plan.thrift[2].found.cheaper[0].lines.assign(12, "one length of another section fewer than before");
  kinds = kinds_of();
  EXPECT_GE(std::count(kinds.begin(), kinds.end(), "thrift"), 2);
  for (const Paper paper : {Paper::a4, Paper::letter}) {
    std::size_t plots = 0;
    for (const Sheet& sheet : draw_sheets(plan, {paper, {"thrift"}, false})) {
      EXPECT_EQ(told(faults(sheet)), "");
      EXPECT_EQ(told(crossed_text(sheet)), "");
      for (const Item& item : sheet.items)
        if (const auto* group = std::get_if<Group>(&item.value); group && group->name == "thrift-plot") ++plots;
    }
    EXPECT_EQ(plots, plan.thrift.size());
  }
}

// A list for each yard, and the sum of both.
TEST(Shopping, HasAPartForEachYard) {
  Plan plan = sample_plan();
  timber::Yard other = plan.job.yard;
  plan.job.yard.name = "lane";
  other.name = "mill";
  other.title = "The Mill (invented)";
  plan.job.yards = {plan.job.yard, other};
  for (std::size_t i = 0; i < plan.purchase.timber.size(); i += 2) plan.purchase.timber[i].offer.yard = 1;
  plan.purchase.bills = {{"lane", plan.job.yard.title, "prices of ours", {100}, {}, {}, {}},
                         {"mill", other.title, "prices of theirs", {200}, {900}, {50}, {23}}};
  plan.purchase.from_shed = {{{"4x2", 1200, 2}}, {{"screw 5x80", 12}}};
  std::size_t found = 0;
  for (const Sheet& sheet : draw_sheets(plan, {Paper::a4, {"shopping"}, false})) {
    EXPECT_EQ(told(faults(sheet)), "");
    for (const std::string& word : words_of({sheet}))
      for (const char* wanted : {"The Mill (invented)", "Paid here", "Total of all yards", "From the shed"})
        found += word == wanted;
  }
  EXPECT_EQ(found, 5u) << "each once, and what is paid at each of two yards";
}

// 4 posts, 4 rails, 2 beams, 6 rafters and 4 braces are 20 labels: one A4 page of 21.
TEST(Labels, AreOneForEveryPiece) {
  for (const Paper paper : {Paper::a4, Paper::letter}) {
    const auto sheets = draw_sheets(sample_plan(), {paper, {"labels"}, false});
    ASSERT_EQ(sheets.size(), 1u);
    EXPECT_EQ(told(faults(sheets.front(), 0.2, 3)), "");
    std::size_t labels = 0;
    for (const Item& item : sheets.front().items) labels += std::holds_alternative<Group>(item.value);
    EXPECT_EQ(labels, 20u);
  }
}

// Nothing to show, or names nobody foresaw, must not stop the press.
TEST(Sheets, OddPlansStillPrint) {
  Plan empty;
  for (const Sheet& sheet : draw_sheets(empty)) EXPECT_EQ(told(faults(sheet)), "");
  Plan odd = sample_plan();
  odd.title = std::string(300, 'W') + "<&>\"\x01\xff";
  odd.garden.structures[0].name = std::string(200, 'M');
  odd.pieces[0].name = std::string(120, 'm');
  odd.pieces[1].name = "a name of several words that runs on well beyond what a column is made for, and on";
  odd.purchase.timber[0].quantity = 1000000;
  odd.cautions.push_back(std::string(900, 'x'));
  for (int i = 0; i < 120; ++i) odd.pieces.push_back(odd.pieces[2]);
  const auto sheets = draw_sheets(odd);
  for (const Sheet& sheet : sheets) EXPECT_EQ(told(faults(sheet)), "");
  EXPECT_GT(pdf_bytes(sheets, pdf_info(odd)).size(), 1000u);
  for (const Sheet& sheet : sheets) {
    const std::string svg = svg_bytes(sheet);
    EXPECT_EQ(svg.find('\x01'), std::string::npos);
    EXPECT_EQ(svg.find("<&>"), std::string::npos);
  }
}

// A real size in mm, so that a browser or a printer cannot guess another.
TEST(Svg, HasItsSizeInMillimetres) {
  const auto sheets = draw_sheets(sample_plan(), {Paper::letter, {"cover", "shopping"}, false});
  EXPECT_NE(svg_bytes(sheets.back()).find("width=\"279.4mm\" height=\"215.9mm\" viewBox=\"0 0 279.4 215.9\""),
            std::string::npos);
  EXPECT_EQ(svg_bytes(sheets[0]), svg_bytes(sheets[0]));
}

}  // namespace
}  // namespace garthwright::sheets
