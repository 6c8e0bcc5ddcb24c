// SPDX-License-Identifier: Apache-2.0
#include "sequence/way.h"

#include <algorithm>
#include <array>

namespace garthwright::sequence {

std::string_view name(Way way) {
  switch (way) {
    case Way::parts:
      return "parts";
    case Way::whole:
      return "whole";
    case Way::pieces:
      return "pieces";
  }
  return "";
}

std::optional<Way> way_named(std::string_view word) {
  for (const Way way : kWays)
    if (name(way) == word) return way;
  return std::nullopt;
}

bool passes(Vec3 size, const Opening& opening) {
  if (opening.wide_mm <= 0 || opening.high_mm <= 0) return true;
  std::array sides{size.x, size.y, size.z};
  std::sort(sides.begin(), sides.end());
  const auto [narrow, high] = std::minmax(opening.wide_mm, opening.high_mm);
  return sides[0] <= narrow && sides[1] <= high;
}

}  // namespace garthwright::sequence
