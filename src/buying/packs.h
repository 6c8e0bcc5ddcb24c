// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "timber/yard.h"

namespace garthwright::buying {

/// How many of each pack (in the order given) hold at least `needed` at least cost; among equally dear ones the fewest
/// packs, then the most left over. Exact, by dynamic programming over the number needed. Packs hold at least 1; without
/// packs, or with nothing needed, the answer is all zeros.
std::vector<int> least_cost_packs(std::span<const timber::Pack> packs, int needed);

}  // namespace garthwright::buying
