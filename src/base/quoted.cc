// SPDX-License-Identifier: Apache-2.0
#include "base/quoted.h"

#include <fmt/format.h>

#include "base/plain_text.h"

namespace garthwright {
namespace {

unsigned char byte(std::string_view text, std::size_t at) { return static_cast<unsigned char>(text[at]); }

/// Length of the well-formed UTF-8 character at `at`, 0 when the bytes are broken (RFC 3629, table in section 4).
std::size_t character_length(std::string_view text, std::size_t at) {
  const unsigned char lead = byte(text, at);
  if (lead < 0x80) return 1;
  const std::size_t length = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
  if (lead < 0xC2 || lead > 0xF4 || at + length > text.size()) return 0;
  for (std::size_t i = 1; i < length; ++i)
    if ((byte(text, at + i) & 0xC0) != 0x80) return 0;
  const unsigned char second = byte(text, at + 1);
  const bool overlong = (lead == 0xE0 && second < 0xA0) || (lead == 0xF0 && second < 0x90);
  const bool beyond = (lead == 0xED && second > 0x9F) || (lead == 0xF4 && second > 0x8F);
  return overlong || beyond ? 0 : length;
}

/// The 12 bidirectional controls of UAX #9 and the two line separators, as UTF-8.
bool turns_text(std::string_view character) {
  return character == "\u061C" || character == "\u200E" || character == "\u200F" || character == "\u2028" ||
         character == "\u2029" || (character >= "\u202A" && character <= "\u202E") ||
         (character >= "\u2066" && character <= "\u2069");
}

/// C1 control characters (U+0080 to U+009F) reach a terminal as commands.
bool is_control(std::string_view character) {
  const unsigned char first = byte(character, 0);
  return first < 0x20 || first == 0x7F || (first == 0xC2 && byte(character, 1) < 0xA0) || turns_text(character);
}

/// Goes through a text character by character; `show` is told each, and whether it may be shown as it is.
template <class Show>
void walk(std::string_view text, Show show) {
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t length = character_length(text, at);
    const std::string_view character = text.substr(at, length == 0 ? 1 : length);
    if (!show(character, length > 0 && !is_control(character))) return;
    at += character.size();
  }
}

std::string in_numbers(std::string_view character) {
  std::string shown;
  for (const char c : character) shown += fmt::format("\\x{:02X}", static_cast<unsigned char>(c));
  return shown;
}

}  // namespace

std::string quoted(std::string_view text, std::size_t most) {
  std::string shown = "'";
  std::size_t count = 0;
  walk(text, [&](std::string_view character, bool plain) {
    if (count++ == most) {
      shown += "…";
      return false;
    }
    shown += plain ? std::string(character) : in_numbers(character);
    return true;
  });
  return shown + "'";
}

bool is_plain_text(std::string_view text) {
  bool all = true;
  walk(text, [&](std::string_view, bool plain) { return all = plain; });
  return all;
}

std::string for_terminal(std::string_view text) {
  std::string shown;
  walk(text, [&](std::string_view character, bool plain) {
    shown += plain || character == "\n" || character == "\t" ? std::string(character) : in_numbers(character);
    return true;
  });
  return shown;
}

}  // namespace garthwright
