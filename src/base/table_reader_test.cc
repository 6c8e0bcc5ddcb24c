// SPDX-License-Identifier: Apache-2.0
#include "base/table_reader.h"

#include <gmock/gmock.h>

#include <random>

namespace garthwright {
namespace {

using testing::ElementsAre;

/// What the reader says of a text, after `read` has taken what it wants.
template <class Read>
std::vector<std::string> told(const std::string& text, const Read& read) {
  const auto table = parse_toml(text, "x.toml");
  if (!table) return {to_string(table.error().front())};
  Diagnostics problems;
  TableReader reader(*table, "x.toml", "the job", problems);
  read(reader);
  reader.finish();
  std::vector<std::string> lines;
  for (const Diagnostic& problem : problems) lines.push_back(to_string(problem));
  return lines;
}

TEST(TableReader, TellsOfWhatNobodyAskedFor) {
  EXPECT_THAT(told("kerf = 3\ntrimm = 10\nsaw = 1",
                   [](TableReader& r) {
                     (void)r.length("kerf", {0, 20});
                     (void)r.length("trim", {0, 99});
                   }),
              ElementsAre("x.toml:2:1: error: the job has no key 'trimm'; did you mean trim? [unknown-key]",
                          "x.toml:3:1: error: the job has no key 'saw'; known are kerf, trim [unknown-key]"));
}

TEST(TableReader, ReadsLengthsEitherWay) {
  EXPECT_THAT(
      told("a = 12.5\nb = '3 ft'\nc = true\nd = 'x'\ne = 99",
           [](TableReader& r) {
             EXPECT_EQ(r.length("a", {0, 20}), 12.5);
             EXPECT_EQ(r.length("b", {0, 2000}), 914.4);
             EXPECT_EQ(r.length("c", {0, 20}), std::nullopt);
             EXPECT_EQ(r.length("d", {0, 20}), std::nullopt);
             EXPECT_EQ(r.length("e", {0, 20}), std::nullopt);
             EXPECT_EQ(r.length("f", {0, 20}), std::nullopt);
           }),
      ElementsAre("x.toml:3:5: error: c of the job is true or false; give a length like 1150 or \"3 ft 9 1/4 in\" "
                  "[wrong-type]",
                  "x.toml:4:5: error: d of the job: 'x' is not a length; write it like 1150, 1.15 m or 3 ft 9 1/4 "
                  "in [bad-length]",
                  "x.toml:5:5: error: e of the job is 99 mm; give 0 mm to 20 mm [out-of-range]"));
}

TEST(TableReader, RefusesNumbersThatAreNone) {
  EXPECT_THAT(told("a = nan\nb = inf\nc = 1.0\nd = 9999999999999",
                   [](TableReader& r) {
                     EXPECT_EQ(r.number("a", {0, 20}), std::nullopt);
                     EXPECT_EQ(r.length("b", {0, 20}), std::nullopt);
                     EXPECT_EQ(r.whole("c", {0, 20}), std::nullopt);
                     EXPECT_EQ(r.whole("d", {0, 20}), std::nullopt);
                   })
                  .size(),
              4u);
}

// A structure's name of 1 MB was drawn on every sheet for over a minute.
TEST(TableReader, RefusesTextsOfAnyLength) {
  const auto read = [](TableReader& r) { (void)r.text("name"); };
  EXPECT_THAT(told("name = '" + std::string(1000, 'x') + "'", read), ElementsAre());
  EXPECT_THAT(told("name = '" + std::string(1001, 'x') + "'", read),
              ElementsAre("x.toml:1:8: error: name of the job is a text of 1001 bytes; give at most 1000 [bad-text]"));
}

TEST(TableReader, KeepsKeysInTheOrderOfTheFile) {
  const auto none =
      told("b = 1\na = 2\nc = 3", [](TableReader& r) { EXPECT_THAT(r.keys(), ElementsAre("b", "a", "c")); });
  EXPECT_TRUE(none.empty());
}

/// Text made of what strings, keys and foreign letters are made of: the parser answers all of it (run under the
/// sanitizers, where what toml++ calls unreachable would stop the test). Found that way: `a = 1é`, `a = [}`.
TEST(ParseToml, AnswersAnyMixtureOfQuotesAndLetters) {
  const std::vector<std::string> parts{"a",  "é",    "\u2028", "\u00A0", "\"",      "\"\"\"", "'",   "'''", "\\",
                                       "\n", "\r",   "#",      " ",      "=",       ".",      "[",   "]",   "{",
                                       "}",  "a = ", ",",      "1",      "\\u00e9", "\xFF",   "\\\n"};
  std::mt19937_64 random(33);
  int read = 0;
  for (int round = 0; round < 60'000; ++round) {
    std::string text = "a = ";
    for (std::size_t i = random() % 14; i > 0; --i) text += parts[random() % parts.size()];
    read += parse_toml(text, "x.toml").has_value();
  }
  EXPECT_GT(read, 100);  // or the mixture would try nothing
  EXPECT_EQ(told("a = 1é", [](TableReader&) {}).size(), 1u);
  EXPECT_EQ(told("a = [}", [](TableReader&) {}).size(), 1u);
}

}  // namespace
}  // namespace garthwright
