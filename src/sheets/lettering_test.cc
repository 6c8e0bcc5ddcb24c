// SPDX-License-Identifier: Apache-2.0
#include "sheets/lettering.h"

#include <gtest/gtest.h>

namespace garthwright::sheets {
namespace {

TEST(Lettering, FiguresHaveOneWidthSoColumnsStandStraight) {
  for (const Lettering l : {Lettering::plain, Lettering::bold}) {
    for (const char* figure : {"0", "1", "2", "3", "4", "5", "6", "7", "8", "9"}) {
      EXPECT_DOUBLE_EQ(text_width(figure, 10, l), text_width("8", 10, l)) << figure;
    }
  }
}

// The advance of a figure in DejaVu Sans 2.37 is 1303 units of 2048 (read from the font's own table with ttx).
TEST(Lettering, MeasuresWhatTheFontSays) {
  EXPECT_NEAR(text_width("0", 2048), 1303, 1e-9);
  EXPECT_NEAR(text_width("12345", 3), 5 * 3 * 1303 / 2048.0, 1e-9);
}

TEST(Lettering, BlackIsMeasuredWhereItIs) {
  const Text level = lettered("H", {100, 50}, 10);
  EXPECT_NEAR(level.ink.top, 50 - 7.29, 0.01);
  EXPECT_NEAR(level.ink.bottom, 50, 1e-9);
  const Text turned = lettered("H", {100, 50}, 10, Lettering::plain, -1, 90);  // reads upwards: its top looks left
  EXPECT_NEAR(turned.ink.left, 100 - 7.29, 0.01);
  EXPECT_NEAR(turned.ink.right, 100, 1e-9);
  EXPECT_NEAR(turned.ink.bottom, 50 - (level.ink.left - 100), 1e-9);
  EXPECT_LT(lettered("y", {0, 0}, 10).at.y, lettered("y", {0, 0}, 10).ink.bottom)
      << "a descender is black below the line";
}

TEST(Lettering, WrapsAtSpacesAndBreaksWhatIsTooLong) {
  EXPECT_EQ(wrapped("one two three", text_width("one two", 3) + 0.01, 3),
            (std::vector<std::string>{"one two", "three"}));
  const double four = text_width("aaaa", 3) + 0.01;
  EXPECT_EQ(wrapped("aaaaaaaaaa", four, 3), (std::vector<std::string>{"aaaa", "aaaa", "aa"}));
  EXPECT_EQ(wrapped("", 10, 3), (std::vector<std::string>{""}));
  EXPECT_EQ(wrapped("w", 0.1, 3), (std::vector<std::string>{"w"})) << "a letter wider than the line still stands";
}

TEST(Lettering, ShortenedFitsAndSaysSo) {
  for (const double width : {5.0, 11.0, 17.0, 40.0}) {
    const std::string s = shortened("a rather long name for a shed", width, 3);
    EXPECT_LE(text_width(s, 3), width) << s;
    EXPECT_TRUE(s.ends_with("…"));
  }
  EXPECT_EQ(shortened("shed", 40, 3), "shed");
}

TEST(Lettering, BrokenBytesAndControlsCannotReachAFile) {
  EXPECT_EQ(printable("a\tb\nc\x01"), "a b c ");
  EXPECT_EQ(printable("\xff\xc3(\xe2\x82"), "\xEF\xBF\xBD\xEF\xBF\xBD(\xEF\xBF\xBD\xEF\xBF\xBD");
  EXPECT_EQ(printable("½ × Ø"), "½ × Ø");
  EXPECT_EQ(printable("\xed\xa0\x80"), "\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD") << "half a surrogate pair is no letter";
}

}  // namespace
}  // namespace garthwright::sheets
