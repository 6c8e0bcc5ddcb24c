// SPDX-License-Identifier: Apache-2.0
//
// The PDF as others see it: qpdf (Debian qpdf) checks its structure, pdfinfo and pdftotext (Debian poppler-utils) read
// pages and words back. A machine without them cannot run these tests, and they say so by failing.
#include "sheets/pdf.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <cstdio>
#include <fstream>
#include <memory>

#include "sheets/sample_plan.h"
#include "sheets/sheets.h"

namespace garthwright::sheets {
namespace {

using testing::HasSubstr;

// What the command prints, and its exit status at the end ("… exit 0").
std::string run(const std::string& command) {
  std::string out;
  FILE* pipe = popen((command + " 2>&1").c_str(), "r");
  if (pipe == nullptr) return "cannot run " + command;
  std::array<char, 4096> buffer;
  while (const std::size_t n = fread(buffer.data(), 1, buffer.size(), pipe)) out.append(buffer.data(), n);
  const int status = pclose(pipe);
  return out + "exit " + std::to_string(WEXITSTATUS(status));
}

std::string written(const std::string& name, const std::string& bytes) {
  const std::string path = testing::TempDir() + name;
  std::ofstream(path, std::ios::binary) << bytes;
  return path;
}

TEST(Pdf, IsSoundToAnIndependentReader) {
  const Plan plan = sample_plan();
  const std::string path = written("sound.pdf", pdf_bytes(draw_sheets(plan), pdf_info(plan)));
  EXPECT_THAT(run("qpdf --check " + path),
              testing::AllOf(HasSubstr("No syntax or stream encoding errors"), HasSubstr("exit 0")));
}

TEST(Pdf, HasPagesOfTheChosenPaper) {
  const Plan plan = sample_plan();
  const auto pages = [&](Paper paper, const std::string& kind) {
    const auto sheets = draw_sheets(plan, {paper, {kind}, false});
    return run("pdfinfo " + written("pages.pdf", pdf_bytes(sheets, pdf_info(plan))));
  };
  // A4 is 210 × 297 mm (ISO 216) = 595.28 × 841.89 pt; Letter is 8 1/2 × 11 in = 612 × 792 pt.
  EXPECT_THAT(pages(Paper::a4, "shopping"), HasSubstr("595.276 x 841.89 pts (A4)"));
  EXPECT_THAT(pages(Paper::a4, "pieces"), HasSubstr("841.89 x 595.276 pts (A4)"));
  EXPECT_THAT(pages(Paper::letter, "shopping"), HasSubstr("612 x 792 pts (letter)"));
  EXPECT_THAT(pages(Paper::letter, "pieces"), HasSubstr("792 x 612 pts (letter)"));
}

TEST(Pdf, KnowsTheJobsDayAndNoClock) {
  const Plan plan = sample_plan();
  const std::string bytes = pdf_bytes(draw_sheets(plan), pdf_info(plan));
  EXPECT_EQ(bytes, pdf_bytes(draw_sheets(plan), pdf_info(plan)));
  const std::string info = run("TZ=UTC pdfinfo -isodates " + written("dated.pdf", bytes));
  EXPECT_THAT(info, HasSubstr("2031-04-09T00:00:00Z"));
  EXPECT_THAT(info, HasSubstr("Title:           Garden of the Weavers' Almshouse"));
  EXPECT_THAT(info, testing::Not(HasSubstr("ModDate")));
}

TEST(Pdf, TellsItsLanguageAndAsksNotToBeScaled) {
  const Plan plan = sample_plan();
  const std::string path =
      written("aided.pdf", pdf_bytes(draw_sheets(plan, {Paper::a4, {"shopping", "bench"}, false}), pdf_info(plan)));
  const std::string catalogue = run("qpdf --json=1 --json-key=objects " + path);
  EXPECT_THAT(catalogue, HasSubstr("\"/PrintScaling\": \"/None\""));
  EXPECT_THAT(catalogue, HasSubstr("\"/Lang\": \"en\""));
  EXPECT_THAT(catalogue, HasSubstr("\"/Outlines\""));
}

// Poppler's reading of the structure tree: a title for every sheet, words as paragraphs, drawings as figures.
TEST(Pdf, IsTaggedForWhoHasItReadOut) {
  const Plan plan = sample_plan();
  const auto sheets = draw_sheets(plan, {Paper::a4, {"cover", "shopping", "joints"}, false});
  const std::string path = written("tagged.pdf", pdf_bytes(sheets, pdf_info(plan)));
  EXPECT_THAT(run("pdfinfo " + path), testing::ContainsRegex("Tagged: +yes"));
  const std::string tree = run("pdfinfo -struct-text " + path);
  EXPECT_THAT(tree, testing::ContainsRegex("Sect\n"));
  EXPECT_THAT(tree, HasSubstr("Figure"));
  EXPECT_THAT(tree, testing::ContainsRegex("H1[^\n]*\n *\"Shopping list"));
  EXPECT_THAT(tree, testing::ContainsRegex("P[^\n]*\n"));
}

// qpdf reads every figure's element with what is to be read out in its place (PDF/UA asks one of each).
TEST(Pdf, EveryFigureSaysWhatItShows) {
  const Plan plan = sample_plan();
  const auto sheets = draw_sheets(plan, {Paper::a4, {"elevations", "joints", "marking-out"}, false});
  const std::string path = written("figures.pdf", pdf_bytes(sheets, pdf_info(plan)));
  EXPECT_THAT(run("qpdf --check " + path), HasSubstr("No syntax or stream encoding errors"));
  const std::string objects = run("qpdf --json=1 --json-key=objects " + path);
  const auto times = [&](const std::string& words) {
    std::size_t n = 0;
    for (std::size_t at = objects.find(words); at != std::string::npos; at = objects.find(words, at + 1)) ++n;
    return n;
  };
  EXPECT_GT(times("\"/S\": \"/Figure\""), 5u);
  EXPECT_EQ(times("\"/Alt\": "), times("\"/S\": \"/Figure\""));
  EXPECT_THAT(objects, HasSubstr("\"/Alt\": \"Drawing \\\"A1\\\" of: Marking out. Lettered: "));
}

TEST(Pdf, WordsCanBeSearchedAndFontsAreEmbedded) {
  Plan plan = sample_plan();
  plan.title = "Gärten der Weberei – Ĳsselmeer";
  const std::string path =
      written("words.pdf", pdf_bytes(draw_sheets(plan, {Paper::a4, {"pieces"}, false}), pdf_info(plan)));
  EXPECT_THAT(run("pdftotext -layout " + path + " -"), HasSubstr("Gärten der Weberei – Ĳsselmeer"));
  EXPECT_THAT(run("pdffonts " + path), HasSubstr("Andika-Bold"));
  EXPECT_THAT(run("pdffonts " + path),
              testing::Not(testing::ContainsRegex(" no  *no  *yes")));  // neither embedded nor subset
}

}  // namespace
}  // namespace garthwright::sheets
