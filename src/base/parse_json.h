// SPDX-License-Identifier: Apache-2.0
//
// JSON from outside, whatever bytes it has. Nesting that would exhaust the stack (reading, and letting go, are
// recursive) is refused first; a byte order mark is passed over.
#pragma once

#include <algorithm>
#include <string>
#include <string_view>

#include "base/diagnostic.h"

namespace garthwright {

/// Line and column (from 1) of the byte before which reading stopped (from 1; 0 for none).
inline Place place_in(std::string_view text, std::size_t byte, const std::string& file) {
  const std::string_view before = text.substr(0, std::min(byte > 0 ? byte - 1 : 0, text.size()));
  const auto line = static_cast<int>(std::count(before.begin(), before.end(), '\n')) + 1;
  const std::size_t start = before.rfind('\n');
  const std::size_t column = before.size() - (start == std::string_view::npos ? 0 : start + 1) + 1;
  return {file, line, static_cast<int>(std::min<std::size_t>(column, 1'000'000)), {}};
}

/// The text without the byte order mark that some editors put before UTF-8.
inline std::string_view without_mark(std::string_view text) {
  return text.starts_with("\xEF\xBB\xBF") ? text.substr(3) : text;
}

/// Where brackets are open deeper than `most`, from 1; 0 when they never are. Brackets in texts do not count.
inline std::size_t deeper_than(std::string_view text, int most) {
  int depth = 0;
  bool in_text = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (in_text && c == '\\')
      ++i;
    else if (c == '"')
      in_text = !in_text;
    else if (!in_text && (c == '[' || c == '{') && ++depth > most)
      return i + 1;
    else if (!in_text && (c == ']' || c == '}'))
      --depth;
  }
  return 0;
}

/// `Json` is a kind of nlohmann::basic_json. Fails with "bad-json" and the place.
template <class Json>
Result<Json> parse_json(std::string_view text, const std::string& file) {
  constexpr int kDeepest = 100;
  text = without_mark(text);
  if (text.starts_with("\xFF\xFE") || text.starts_with("\xFE\xFF"))
    return fail("bad-json", "this is UTF-16", "save it as UTF-8", {file, 0, 0, {}});
  if (const std::size_t at = deeper_than(text, kDeepest))
    return fail("bad-json", "brackets stand in one another more than 100 deep", "nothing here is nested as deep",
                place_in(text, at, file));
  try {
    return Json::parse(text);
  } catch (const typename Json::parse_error& error) {
    return fail("bad-json", "this is not JSON from here on", "look for a missing comma, quote or bracket",
                place_in(text, error.byte, file));
  } catch (const typename Json::exception&) {
    return fail("bad-json", "a number is too large to be read", "give numbers of a usual size", {file, 0, 0, {}});
  }
}

}  // namespace garthwright
