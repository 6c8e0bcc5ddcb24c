// SPDX-License-Identifier: Apache-2.0
//
// How wide and how tall lettering is. The fonts (Andika and its bold, with figures of one width; its stroked nought
// and tailed l, so that 1 I l 0 O cannot be taken for one another; DejaVu Sans for letters that Andika has not, Greek
// ones first) are part of the program, so that a text measures the same on every machine and no run depends on which
// fonts are installed.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "sheets/sheet.h"

namespace garthwright::sheets {

/// Height of a capital, and depth of a descender, as parts of the em (H and p of Andika 6.101: 1460 and 490 of 2048).
inline constexpr double kCapHeight = 0.713;
inline constexpr double kDescent = 0.239;

/// Which of a lettering's two fonts: the usual one, or the one for letters that it has not.
enum class Font { usual, more };

/// The font file's bytes, for a back end that embeds it.
std::span<const std::uint8_t> font_file(Lettering lettering, Font font);

/// One letter as set: which glyph of which font, and how far from the start of the line, in em.
struct SetGlyph {
  std::uint32_t glyph = 0;
  Font font = Font::usual;
  double x = 0;
  int bytes = 0;  ///< how many bytes of the text it stands for
};

struct SetLine {
  std::vector<SetGlyph> glyphs;
  double advance = 0;                                ///< em
  double left = 0, right = 0, above = 0, below = 0;  ///< the black, em from the start of the baseline, up and down
};

/// Sets one line. No kerning and no shaping: Latin, Greek and Cyrillic come out right, scripts that join do not; what
/// neither font has is a box (glyph 0 of the usual one).
SetLine set_line(std::string_view words, Lettering lettering);

/// Valid UTF-8 without control characters (each becomes a space, each broken byte U+FFFD).
std::string printable(std::string_view words);

/// Its letters, one by one.
std::u32string letters(std::string_view words);

/// Set width in mm.
double text_width(std::string_view words, double size, Lettering lettering = Lettering::plain);

/// The text, or as much of it as fits in `width` with "…" behind it.
std::string shortened(std::string_view words, double width, double size, Lettering lettering = Lettering::plain);

/// The text broken at spaces into lines that fit in `width`; a word that is wider than a line is broken inside.
std::vector<std::string> wrapped(std::string_view words, double width, double size,
                                 Lettering lettering = Lettering::plain);

/// A measured Text. `align` -1 starts at `at`, 0 is centred on it, 1 ends there.
Text lettered(std::string_view words, Point at, double size, Lettering lettering = Lettering::plain, int align = -1,
              double turn_deg = 0);

}  // namespace garthwright::sheets
