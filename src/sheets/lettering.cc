// SPDX-License-Identifier: Apache-2.0
#include "sheets/lettering.h"

#include <ft2build.h>
#include FT_FREETYPE_H

#include <algorithm>
#include <array>
#include <cassert>
#include <map>
#include <mutex>
#include <unordered_map>

#include "base/geometry.h"

// The font files become part of the program; their folders are found when it is built.
#define GW_EMBED(symbol, file)                                                               \
  __asm__(".section .rodata\n.balign 16\n.global " #symbol "\n" #symbol ":\n.incbin \"" file \
          "\"\n"                                                                             \
          ".global " #symbol "_end\n" #symbol "_end:\n.byte 0\n.previous\n");                \
  extern "C" {                                                                               \
  extern const std::uint8_t symbol[];                                                        \
  extern const std::uint8_t symbol##_end[];                                                  \
  }
GW_EMBED(gw_font_plain, GARTHWRIGHT_LETTERING "/Andika-Regular.ttf")
GW_EMBED(gw_font_bold, GARTHWRIGHT_LETTERING "/Andika-Bold.ttf")
GW_EMBED(gw_font_more, GARTHWRIGHT_MORE_LETTERS "/DejaVuSans.ttf")
GW_EMBED(gw_font_more_bold, GARTHWRIGHT_MORE_LETTERS "/DejaVuSans-Bold.ttf")

namespace garthwright::sheets {

namespace {

struct Glyph {
  std::uint32_t index = 0;
  double advance = 0, shift = 0, left = 0, right = 0, below = 0, above = 0;  // em
};

// One font with the letters measured so far. Measuring a letter once and keeping it makes setting a table cheap.
class MeasuredFont {
 public:
  MeasuredFont(FT_Library library, std::span<const std::uint8_t> file) {
    [[maybe_unused]] const FT_Error error =
        FT_New_Memory_Face(library, file.data(), static_cast<FT_Long>(file.size()), 0, &face_);
    assert(error == 0 && "the font built into the program is not a font");
  }

  const Glyph& glyph(char32_t letter) {
    const auto found = glyphs_.find(letter);
    if (found != glyphs_.end()) return found->second;
    Glyph g = measured(FT_Get_Char_Index(face_, letter));
    if (const FT_UInt other = unmistakable(letter); other != 0) {
      const double was = g.advance;
      g = measured(other);
      if (letter == '0') {  // figures keep their one width
        g.shift = (was - g.advance) / 2;
        g.advance = was;
        g.left += g.shift, g.right += g.shift;
      }
    }
    return glyphs_.emplace(letter, g).first->second;
  }

 private:
  Glyph measured(FT_UInt index) {
    Glyph g;
    g.index = index;
    if (FT_Load_Glyph(face_, index, FT_LOAD_NO_SCALE) != 0) return g;
    const double em = face_->units_per_EM;
    const FT_Glyph_Metrics& m = face_->glyph->metrics;
    g.advance = static_cast<double>(m.horiAdvance) / em;
    g.left = static_cast<double>(m.horiBearingX) / em;
    g.right = static_cast<double>(m.horiBearingX + m.width) / em;
    g.above = static_cast<double>(m.horiBearingY) / em;
    g.below = static_cast<double>(m.height - m.horiBearingY) / em;
    return g;
  }

  /// The font's own other shapes (its features cv10 and cv39): a nought with a stroke, and an l with a tail.
  FT_UInt unmistakable(char32_t letter) {
    const char* name = letter == '0' ? "zero.Slash" : letter == 'l' ? "l.TailL" : nullptr;
    return name == nullptr ? 0 : FT_Get_Name_Index(face_, name);
  }

  FT_Face face_ = nullptr;
  std::unordered_map<char32_t, Glyph> glyphs_;
};

MeasuredFont& measured_font(Lettering lettering, Font font) {
  static FT_Library library = [] {
    FT_Library l = nullptr;
    FT_Init_FreeType(&l);
    return l;
  }();
  static std::array<MeasuredFont, 4> fonts{
      MeasuredFont(library, font_file(Lettering::plain, Font::usual)),
      MeasuredFont(library, font_file(Lettering::bold, Font::usual)),
      MeasuredFont(library, font_file(Lettering::plain, Font::more)),
      MeasuredFont(library, font_file(Lettering::bold, Font::more)),
  };
  return fonts[(lettering == Lettering::bold ? 1 : 0) + (font == Font::more ? 2 : 0)];
}

/// The letter from the usual font, else from the other, else the usual one's box.
std::pair<Font, const Glyph&> glyph_of(char32_t letter, Lettering lettering) {
  const Glyph& usual = measured_font(lettering, Font::usual).glyph(letter);
  if (usual.index != 0) return {Font::usual, usual};
  const Glyph& more = measured_font(lettering, Font::more).glyph(letter);
  if (more.index != 0) return {Font::more, more};
  return {Font::usual, usual};
}

std::mutex& font_mutex() {
  static std::mutex mutex;
  return mutex;
}

// The letter at `text[at]` and how many bytes it takes; U+FFFD for a byte that begins none.
std::pair<char32_t, int> next_letter(std::string_view text, std::size_t at) {
  const auto byte = [&](std::size_t i) { return i < text.size() ? static_cast<unsigned char>(text[i]) : 0u; };
  const auto tail = [&](std::size_t i) { return (byte(i) & 0xC0u) == 0x80u; };
  const unsigned b = byte(at);
  if (b < 0x80) return {b, 1};
  if (b >= 0xC2 && b < 0xE0 && tail(at + 1)) return {((b & 0x1Fu) << 6) | (byte(at + 1) & 0x3Fu), 2};
  if (b >= 0xE0 && b < 0xF0 && tail(at + 1) && tail(at + 2)) {
    const char32_t c = ((b & 0x0Fu) << 12) | ((byte(at + 1) & 0x3Fu) << 6) | (byte(at + 2) & 0x3Fu);
    if (c >= 0x800 && (c < 0xD800 || c > 0xDFFF)) return {c, 3};
  }
  if (b >= 0xF0 && b < 0xF5 && tail(at + 1) && tail(at + 2) && tail(at + 3)) {
    const char32_t c =
        ((b & 0x07u) << 18) | ((byte(at + 1) & 0x3Fu) << 12) | ((byte(at + 2) & 0x3Fu) << 6) | (byte(at + 3) & 0x3Fu);
    if (c >= 0x10000 && c <= 0x10FFFF) return {c, 4};
  }
  return {0xFFFD, 1};
}

}  // namespace

std::span<const std::uint8_t> font_file(Lettering lettering, Font font) {
  const bool bold = lettering == Lettering::bold;
  if (font == Font::more)
    return bold ? std::span(gw_font_more_bold, gw_font_more_bold_end) : std::span(gw_font_more, gw_font_more_end);
  return bold ? std::span(gw_font_bold, gw_font_bold_end) : std::span(gw_font_plain, gw_font_plain_end);
}

SetLine set_line(std::string_view words, Lettering lettering) {
  const std::lock_guard lock(font_mutex());
  SetLine line;
  bool any_black = false;
  for (std::size_t at = 0; at < words.size();) {
    const auto [letter, bytes] = next_letter(words, at);
    const auto& [font, g] = glyph_of(letter, lettering);
    line.glyphs.push_back({g.index, font, line.advance + g.shift, bytes});
    if (g.right > g.left) {
      const double left = line.advance + g.left, right = line.advance + g.right;
      line.left = any_black ? std::min(line.left, left) : left;
      line.right = any_black ? std::max(line.right, right) : right;
      line.above = any_black ? std::max(line.above, g.above) : g.above;
      line.below = any_black ? std::max(line.below, g.below) : g.below;
      any_black = true;
    }
    line.advance += g.advance;
    at += static_cast<std::size_t>(bytes);
  }
  return line;
}

std::string printable(std::string_view words) {
  std::string out;
  for (std::size_t at = 0; at < words.size();) {
    const auto [letter, bytes] = next_letter(words, at);
    const auto count = static_cast<std::size_t>(bytes);
    if (letter < 0x20 || (letter >= 0x7F && letter < 0xA0)) {
      out += ' ';
    } else if (letter == 0xFFFE || letter == 0xFFFF || (letter == 0xFFFD && count == 1)) {
      out += "\xEF\xBF\xBD";
    } else {
      out += words.substr(at, count);
    }
    at += count;
  }
  return out;
}

std::u32string letters(std::string_view words) {
  std::u32string out;
  for (std::size_t at = 0; at < words.size();) {
    const auto [letter, bytes] = next_letter(words, at);
    out += letter;
    at += static_cast<std::size_t>(bytes);
  }
  return out;
}

double text_width(std::string_view words, double size, Lettering lettering) {
  return set_line(words, lettering).advance * size;
}

std::string shortened(std::string_view words, double width, double size, Lettering lettering) {
  const std::string clean = printable(words);
  const SetLine line = set_line(clean, lettering);
  if (line.advance * size <= width) return clean;
  const double dots = text_width("…", size, lettering);
  std::size_t bytes = 0;
  for (const SetGlyph& g : line.glyphs) {
    if (g.x * size + dots > width) break;
    bytes += static_cast<std::size_t>(g.bytes);
  }
  // The last letter that was begun is given up for the dots.
  std::size_t kept = 0;
  for (const SetGlyph& g : line.glyphs) {
    if (kept + static_cast<std::size_t>(g.bytes) >= bytes) break;
    kept += static_cast<std::size_t>(g.bytes);
  }
  std::string out = clean.substr(0, kept);
  while (!out.empty() && out.back() == ' ') out.pop_back();
  return out + "…";
}

std::vector<std::string> wrapped(std::string_view words, double width, double size, Lettering lettering) {
  const std::string clean = printable(words);
  std::vector<std::string> lines;
  std::string line;
  const auto fits = [&](const std::string& s) { return text_width(s, size, lettering) <= width; };
  for (std::size_t at = 0; at < clean.size();) {
    std::size_t end = clean.find(' ', at);
    if (end == std::string::npos) end = clean.size();
    std::string word = clean.substr(at, end - at);
    at = end + 1;
    if (word.empty()) continue;
    std::string longer = line.empty() ? word : line + " " + word;
    if (fits(longer)) {
      line = std::move(longer);
      continue;
    }
    if (!line.empty()) lines.push_back(std::move(line));
    line.clear();
    while (!fits(word)) {
      std::size_t cut = 0;
      for (std::size_t next = 0; next < word.size();) {
        next += static_cast<std::size_t>(next_letter(word, next).second);
        if (cut > 0 && !fits(word.substr(0, next))) break;
        cut = next;
      }
      if (cut >= word.size()) break;
      lines.push_back(word.substr(0, cut));
      word.erase(0, cut);
    }
    line = std::move(word);
  }
  if (!line.empty() || lines.empty()) lines.push_back(std::move(line));
  return lines;
}

Text lettered(std::string_view words, Point at, double size, Lettering lettering, int align, double turn_deg) {
  Text text{printable(words), lettering, size, at, turn_deg, 0, {}};
  const SetLine line = set_line(text.words, lettering);
  text.advance = line.advance * size;
  const double c = cosd(turn_deg), s = sind(turn_deg);
  const double back = align < 0 ? 0 : align == 0 ? text.advance / 2 : text.advance;
  text.at = {at.x - back * c, at.y + back * s};
  // The corners of the black, turned onto the page (whose y looks down).
  const auto corner = [&](double along, double up) {
    return Point{text.at.x + size * (along * c - up * s), text.at.y - size * (along * s + up * c)};
  };
  const std::array corners{corner(line.left, line.above), corner(line.right, line.above),
                           corner(line.left, -line.below), corner(line.right, -line.below)};
  text.ink = {corners[0].x, corners[0].y, corners[0].x, corners[0].y};
  for (const Point p : corners) {
    text.ink = {std::min(text.ink.left, p.x), std::min(text.ink.top, p.y), std::max(text.ink.right, p.x),
                std::max(text.ink.bottom, p.y)};
  }
  return text;
}

}  // namespace garthwright::sheets
