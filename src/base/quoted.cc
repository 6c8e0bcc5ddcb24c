// SPDX-License-Identifier: Apache-2.0
#include "base/quoted.h"

#include <fmt/format.h>

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

/// C1 control characters (U+0080 to U+009F) reach a terminal as commands.
bool is_control(std::string_view character) {
  const unsigned char first = byte(character, 0);
  return first < 0x20 || first == 0x7F || (first == 0xC2 && byte(character, 1) < 0xA0);
}

}  // namespace

std::string quoted(std::string_view text, std::size_t most) {
  std::string shown = "'";
  std::size_t count = 0;
  for (std::size_t at = 0; at < text.size(); ++count) {
    if (count == most) return shown + "…'";
    const std::size_t length = character_length(text, at);
    const std::string_view character = text.substr(at, length == 0 ? 1 : length);
    if (length > 0 && !is_control(character)) {
      shown += character;
    } else {
      for (char c : character) shown += fmt::format("\\x{:02X}", static_cast<unsigned char>(c));
    }
    at += character.size();
  }
  return shown + "'";
}

}  // namespace garthwright
