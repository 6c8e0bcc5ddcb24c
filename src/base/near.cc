// SPDX-License-Identifier: Apache-2.0
#include "base/near.h"

#include <algorithm>
#include <numeric>
#include <utility>

namespace garthwright {
namespace {

constexpr std::size_t kLongestWord = 200;

char lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

/// Fewest single-character insertions, deletions, changes and swaps of neighbours that make `a` into `b`, each place
/// touched once ("optimal string alignment"); case does not count.
std::size_t edit_distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> before(b.size() + 1), last(b.size() + 1), row(b.size() + 1);
  std::iota(last.begin(), last.end(), std::size_t{0});
  for (std::size_t i = 1; i <= a.size(); ++i) {
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const char p = lower(a[i - 1]), q = lower(b[j - 1]);
      row[j] = std::min({last[j] + 1, row[j - 1] + 1, last[j - 1] + (p == q ? 0 : 1)});
      if (i > 1 && j > 1 && p == lower(b[j - 2]) && q == lower(a[i - 2])) row[j] = std::min(row[j], before[j - 2] + 1);
    }
    before = std::exchange(last, std::exchange(row, before));
  }
  return last[b.size()];
}

std::string listed(std::span<const std::string> names, std::string_view last_word) {
  std::string text;
  for (std::size_t i = 0; i < names.size(); ++i) {
    if (i > 0) text += i + 1 == names.size() ? std::string(last_word) : ", ";
    text += names[i];
  }
  return text;
}

}  // namespace

std::vector<std::string> near_names(std::string_view wrong, std::span<const std::string> known, std::size_t most) {
  std::vector<std::pair<std::size_t, std::string>> found;
  if (wrong.size() > kLongestWord) return {};
  for (const std::string& name : known) {
    const std::size_t gap = name.size() > wrong.size() ? name.size() - wrong.size() : wrong.size() - name.size();
    if (2 * gap > wrong.size()) continue;
    const std::size_t distance = edit_distance(wrong, name);
    if (2 * distance <= wrong.size()) found.emplace_back(distance, name);
  }
  std::stable_sort(found.begin(), found.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  std::vector<std::string> names;
  for (std::size_t i = 0; i < std::min(most, found.size()); ++i) names.push_back(std::move(found[i].second));
  return names;
}

std::string suggest(std::string_view wrong, std::span<const std::string> known) {
  const auto near = near_names(wrong, known);
  if (!near.empty()) return "did you mean " + listed(near, " or ") + "?";
  if (known.empty()) return "";
  return (known.size() == 1 ? "known is " : "known are ") + listed(known, ", ");
}

}  // namespace garthwright
