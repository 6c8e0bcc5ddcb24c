// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <algorithm>
#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "structure/saw.h"
#include "timber/yard.h"

/// Yards of a few sections for the tests, and the least cost of few pieces by trying everything.
namespace garthwright::buying {

struct Sold {
  double length_mm;
  std::int64_t price;
  std::optional<int> limit = {};
  std::vector<timber::Pack> bundles = {};
};

inline timber::Section section(const std::string& name, double width, double thickness,
                               const std::vector<Sold>& lengths) {
  timber::Section out;
  out.name = name;
  out.width_mm = width;
  out.thickness_mm = thickness;
  out.treatment = "UC3";
  for (const Sold& length : lengths)
    out.lengths.push_back({length.length_mm, {length.price}, length.limit, false, {}, length.bundles});
  return out;
}

inline timber::Yard yard_of(std::vector<timber::Section> sections) {
  timber::Yard yard;
  yard.title = "The Lane";
  yard.note = "invented prices";
  yard.price_date = "2026-03-02";
  yard.currency = {"EUR", 2};
  yard.sections = std::move(sections);
  return yard;
}

/// Least cost by trying every way to share few pieces among lengths: cost of a set is the cheapest length that takes
/// some of it, and the cost of the rest. At least half of what a whole number holds where there is no way.
inline std::int64_t least_cost_by_force(const timber::Section& section, const std::vector<double>& pieces,
                                        const Saw& saw) {
  const std::size_t sets = std::size_t{1} << pieces.size();
  std::vector<std::int64_t> one(sets, std::numeric_limits<std::int64_t>::max() / 2), least = one;
  for (std::size_t set = 1; set < sets; ++set) {
    double needed = saw.trim_mm - saw.kerf_mm;
    for (std::size_t i = 0; i < pieces.size(); ++i)
      if (set >> i & 1) needed += pieces[i] + saw.kerf_mm;
    for (const timber::YardLength& length : section.lengths)
      if (needed <= length.length_mm) one[set] = std::min(one[set], length.price.minor);
  }
  least[0] = 0;
  for (std::size_t set = 1; set < sets; ++set)
    for (std::size_t part = set; part > 0; part = (part - 1) & set)
      least[set] = std::min(least[set], one[part] + least[set ^ part]);
  return least.back();
}

}  // namespace garthwright::buying
