// SPDX-License-Identifier: Apache-2.0
#include "sheets/lettering.h"

#include <gtest/gtest.h>

#include <set>

namespace garthwright::sheets {
namespace {

TEST(Lettering, FiguresHaveOneWidthSoColumnsStandStraight) {
  for (const Lettering l : {Lettering::plain, Lettering::bold}) {
    for (const char* figure : {"0", "1", "2", "3", "4", "5", "6", "7", "8", "9"}) {
      EXPECT_DOUBLE_EQ(text_width(figure, 10, l), text_width("8", 10, l)) << figure;
    }
  }
}

// The advance of a figure in Andika 6.101 is 1200 units of 2048, in its bold 1240 (read from the fonts' own tables with
// ttx).
TEST(Lettering, MeasuresWhatTheFontSays) {
  EXPECT_NEAR(text_width("0", 2048), 1200, 1e-9);
  EXPECT_NEAR(text_width("12345", 3), 5 * 3 * 1200 / 2048.0, 1e-9);
  EXPECT_NEAR(text_width("0", 2048, Lettering::bold), 1240, 1e-9);
}

// One letter's shape is no other's: the nought with a stroke is not the font's plain one, nor the tailed l a bar.
TEST(Lettering, TellsOneIlNoughtAndOApart) {
  for (const Lettering l : {Lettering::plain, Lettering::bold}) {
    std::set<std::uint32_t> shapes;
    for (const char* letter : {"1", "I", "l", "|", "0", "O", "o"}) {
      const SetLine set = set_line(letter, l);
      ASSERT_EQ(set.glyphs.size(), 1u);
      EXPECT_NE(set.glyphs[0].glyph, 0u) << letter << " is not in the font";
      shapes.insert(set.glyphs[0].glyph);
    }
    EXPECT_EQ(shapes.size(), 7u);
    // A tail takes room that a plain stroke does not: in the font's own table 660 and 760 units for 565 and 640.
    EXPECT_NEAR(text_width("l", 2048, l), l == Lettering::bold ? 760 : 660, 1e-9);
  }
}

// Names of gardens and people are written in more than English.
TEST(Lettering, HasTheLettersOfItsReaders) {
  for (const char* letter : {"é", "ł", "ž", "ø", "ß", "ğ", "ő", "Я", "ж", "½", "×", "°",
                             "²", "³", "…", "–", "−", "→", "≤", "√", "Κ", "Ω", "έ"}) {
    EXPECT_NE(set_line(letter, Lettering::plain).glyphs.at(0).glyph, 0u) << letter;
    EXPECT_NE(set_line(letter, Lettering::bold).glyphs.at(0).glyph, 0u) << letter;
  }
}

// DejaVu Sans 2.37: Κ is 1343 of 2048 wide, its bold 1587; what neither font has stays a box.
TEST(Lettering, WhatTheFontHasNotComesFromAnother) {
  const SetLine garden = set_line("ΚM", Lettering::plain);
  EXPECT_EQ(garden.glyphs.at(0).font, Font::more);
  EXPECT_EQ(garden.glyphs.at(1).font, Font::usual);
  EXPECT_NEAR(garden.glyphs.at(1).x * 2048, 1343, 1e-9);
  EXPECT_NEAR(set_line("Κ", Lettering::bold).advance * 2048, 1587, 1e-9);
  const SetGlyph none = set_line("庭", Lettering::plain).glyphs.at(0);
  EXPECT_EQ(none.glyph, 0u);
  EXPECT_EQ(none.font, Font::usual);
}

TEST(Lettering, BlackIsMeasuredWhereItIs) {
  const Text level = lettered("H", {100, 50}, 10);
  EXPECT_NEAR(level.ink.top, 50 - 7.13, 0.01);
  EXPECT_NEAR(level.ink.bottom, 50, 1e-9);
  const Text turned = lettered("H", {100, 50}, 10, Lettering::plain, -1, 90);  // reads upwards: its top looks left
  EXPECT_NEAR(turned.ink.left, 100 - 7.13, 0.01);
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
