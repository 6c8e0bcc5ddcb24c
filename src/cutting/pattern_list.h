// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "cutting/model.h"
#include "cutting/pricing.h"
#include "cutting/work.h"

namespace garthwright::cutting {

/// Every maximal pattern that a plan within `mix` may use, or none if they are too many.
///
/// For any prices the bars of the mix together may fall short of their worth by mix_slack at most, so a pattern that
/// alone falls short by more is in no plan. `prices.front()` steers the search, the others filter what it finds. Plans
/// may be taken to use maximal patterns only (nothing wanted fits into what is left), with surplus.
std::optional<std::vector<Pattern>> useful_patterns(const Model& model, std::span<const std::int64_t> mix,
                                                    std::span<const Prices> prices, std::size_t most, Work& work);

}  // namespace garthwright::cutting
