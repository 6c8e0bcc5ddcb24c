// SPDX-License-Identifier: Apache-2.0
#include "buying/savings.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <map>

namespace garthwright::buying {
namespace {

std::string in_words(int count) {
  static constexpr std::array<std::string_view, 13> kWords{"no",    "one",   "two",  "three", "four",   "five",  "six",
                                                           "seven", "eight", "nine", "ten",   "eleven", "twelve"};
  return count >= 0 && count < static_cast<int>(kWords.size()) ? std::string(kWords[static_cast<std::size_t>(count)])
                                                               : std::to_string(count);
}

/// Names in the order met, with how many more (or fewer) there would be.
class Differences {
 public:
  void count(const std::string& name, int more) {
    const auto known = std::find_if(list_.begin(), list_.end(), [&](const auto& one) { return one.first == name; });
    if (known == list_.end())
      list_.emplace_back(name, more);
    else
      known->second += more;
  }

  /// What there is less of first.
  std::vector<std::string> words() const {
    std::vector<std::string> fewer, more;
    for (const auto& [name, difference] : list_) {
      if (difference < 0) fewer.push_back(fmt::format("{} {} fewer", in_words(-difference), name));
      if (difference > 0) more.push_back(fmt::format("{} {} more", in_words(difference), name));
    }
    fewer.insert(fewer.end(), more.begin(), more.end());
    return fewer;
  }

 private:
  std::vector<std::pair<std::string, int>> list_;
};

void count_all(Differences& differences, const Report& report, int sign, LengthStyle style) {
  for (const TimberLine& line : report.timber) {
    std::string name = fmt::format("{} of {}", line.section, format_length(line.length_mm, style));
    if (line.bundle > 1) name += fmt::format(" (bundle of {})", line.bundle);
    differences.count(name, sign * line.quantity);
  }
  for (const auto* lines : {&report.fixings, &report.panels, &report.ground, &report.extras})
    for (const ItemLine& line : *lines)
      differences.count(line.unit == "each" ? line.name : fmt::format("{} ({})", line.name, line.unit),
                        sign * line.quantity);
}

/// Lengths of all pieces of one name, longest first.
using ByName = std::map<std::string, std::vector<double>>;

ByName by_name(const Garden& garden, std::vector<std::string>& names) {
  ByName lengths;
  for (const Structure& structure : garden.structures) {
    for (const Piece& piece : structure.pieces) {
      if (std::find(names.begin(), names.end(), piece.name) == names.end()) names.push_back(piece.name);
      lengths[piece.name].push_back(piece.length.value());
    }
  }
  for (auto& [name, all] : lengths) std::sort(all.rbegin(), all.rend());
  return lengths;
}

}  // namespace

std::vector<std::string> saved_lines(const Report& now, const Report& then, LengthStyle style) {
  Differences differences;
  count_all(differences, now, -1, style);
  count_all(differences, then, 1, style);
  return differences.words();
}

std::vector<std::string> changed_pieces(const Garden& now, const Garden& then, LengthStyle style) {
  std::vector<std::string> names, told;
  ByName before = by_name(now, names), after = by_name(then, names);
  for (const std::string& name : names) {
    const std::vector<double>&a = before[name], &b = after[name];
    const int more = static_cast<int>(b.size()) - static_cast<int>(a.size());
    if (more != 0) told.push_back(fmt::format("{} {} {}", in_words(std::abs(more)), name, more < 0 ? "fewer" : "more"));
    if (a.empty() || b.empty()) continue;
    const double longer = b.front() - a.front();
    if (std::abs(longer) < 0.05) continue;
    told.push_back(
        fmt::format("{} {} {}", name, format_length(std::abs(longer), style), longer < 0 ? "shorter" : "longer"));
  }
  return told;
}

}  // namespace garthwright::buying
