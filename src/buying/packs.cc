// SPDX-License-Identifier: Apache-2.0
#include "buying/packs.h"

#include <algorithm>
#include <limits>
#include <tuple>

namespace garthwright::buying {
namespace {

/// Best way known to have at least so many: compared by cost, then packs, then (more is better) what they hold.
struct Best {
  std::int64_t cost = 0;
  int packs = 0;
  int held = 0;
  int last = -1;  // the pack taken last

  bool operator<(const Best& other) const {
    return std::tuple(cost, packs, -held) < std::tuple(other.cost, other.packs, -other.held);
  }
};

}  // namespace

std::vector<int> least_cost_packs(std::span<const timber::Pack> packs, int needed) {
  std::vector<int> quantities(packs.size(), 0);
  if (packs.empty() || needed <= 0) return quantities;
  std::vector<Best> at_least(static_cast<std::size_t>(needed) + 1);
  for (int want = 1; want <= needed; ++want) {
    Best& best = at_least[static_cast<std::size_t>(want)];
    best.cost = std::numeric_limits<std::int64_t>::max();
    for (std::size_t i = 0; i < packs.size(); ++i) {
      const Best& rest = at_least[static_cast<std::size_t>(std::max(0, want - packs[i].count))];
      const Best with{rest.cost + packs[i].price.minor, rest.packs + 1, rest.held + packs[i].count,
                      static_cast<int>(i)};
      if (with < best) best = with;
    }
  }
  for (int want = needed; want > 0;) {
    const auto taken = static_cast<std::size_t>(at_least[static_cast<std::size_t>(want)].last);
    ++quantities[taken];
    want = std::max(0, want - packs[taken].count);
  }
  return quantities;
}

}  // namespace garthwright::buying
