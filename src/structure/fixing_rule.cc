// SPDX-License-Identifier: Apache-2.0
#include "structure/fixing_rule.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <tuple>
#include <vector>

#include "base/length.h"

namespace garthwright {
namespace {

using timber::FixingItem;
using timber::FixingKind;

constexpr double kPointCover = 4;     // mm of timber left beyond a screw's point
constexpr double kThinPart = 0.6;     // of a last body too thin for the full grip; our own choice
constexpr double kEndGrainMore = 12;  // mm
constexpr double kBoltMore = 20;      // mm for washer, nut and thread showing
constexpr double kSunkPart = 0.5;     // of the first body, at most; our own choice

struct LengthRange {
  double least, most;
};

LengthRange range(FixingKind kind, double diameter, const FixingLine& line, double diameters) {
  if (is_connector(kind)) return {0, 1e9};  // it lies on the faces
  if (is_bolt(kind)) return {line.through + line.last + kBoltMore, 1e9};
  const double grip = diameters * diameter + (line.end_grain ? kEndGrainMore : 0);
  return {line.through + std::min(grip, kThinPart * line.last), line.through + line.last - kPointCover};
}

}  // namespace

std::string_view size_name(std::string_view item) {
  const std::size_t cross = item.rfind('x');
  if (cross == std::string_view::npos || cross + 1 >= item.size()) return item;
  const bool length_follows = item.find_first_of("0123456789", cross) != std::string_view::npos;
  std::string_view size = length_follows ? item.substr(0, cross) : item;
  while (!size.empty() && size.back() == ' ') size.remove_suffix(1);
  return size;
}

bool is_wanted(const FixingWanted& wanted, const FixingItem& item) {
  if (!wanted.item.empty())
    return item.name.starts_with(wanted.item) && (item.name.size() == wanted.item.size() ||
                                                  (!is_connector(item.kind) && size_name(item.name) == wanted.item));
  return item.kind == wanted.kind && item.diameter_mm >= wanted.least_diameter &&
         (!wanted.structural || item.make.structural);
}

std::optional<FixingChoice> choose_fixing(const FixingWanted& wanted, const FixingLine& line,
                                          std::span<const FixingItem> sold) {
  std::vector<const FixingItem*> those;
  for (const FixingItem& item : sold)
    if (is_wanted(wanted, item)) those.push_back(&item);
  return choose_fixing(those, line);
}

std::optional<FixingChoice> choose_fixing(std::span<const FixingItem* const> wanted, const FixingLine& line) {
  std::optional<FixingChoice> best;
  // Fitting well comes first, then sinking least, then the shortest and the thinnest.
  std::tuple<int, double, double, double> best_rank;
  for (const FixingItem* each : wanted) {
    const FixingItem& item = *each;
    int grade = 0;
    double sunk = 0, off = 0;
    bool suits = false;
    for (const double diameters : {6.0, 4.0}) {
      const LengthRange fits = range(item.kind, item.diameter_mm, line, diameters);
      sunk = std::max(0.0, fits.least - item.length_mm);
      suits = sunk <= kSunkPart * line.head_side && item.length_mm + sunk <= fits.most + 1e-9;
      off = std::max(sunk, item.length_mm - fits.most);
      if (suits) break;
      ++grade;
    }
    if (!suits) sunk = 0;
    const std::tuple rank(grade, suits ? sunk : off, item.length_mm, item.diameter_mm);
    if (best && !(rank < best_rank)) continue;
    best = FixingChoice{&item, sunk, suits};
    best_rank = rank;
  }
  return best;
}

std::string_view name(FixingKind kind) { return timber::fixing_kind_names()[static_cast<std::size_t>(kind)]; }

std::string wanted_length(FixingKind kind, double diameter_mm, const FixingLine& line) {
  const LengthRange fits = range(kind, diameter_mm, line, 6);
  if (is_bolt(kind)) return format_length(std::ceil(fits.least)) + " or more";
  return fmt::format("between {} and {}", format_length(std::ceil(fits.least)), format_length(std::floor(fits.most)));
}

}  // namespace garthwright
