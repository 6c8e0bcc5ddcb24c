// SPDX-License-Identifier: Apache-2.0
#pragma once

/// Bounds that rest on whole numbers only: any prices, however they were come by, prove something.

#include <cstdint>
#include <span>
#include <vector>

#include "cutting/greedy.h"
#include "cutting/model.h"
#include "cutting/pricing.h"

namespace garthwright::cutting {

/// No plan for the remainder costs less. With one kind of bar this is Farley's bound (Operations Research 38, 1990);
/// limited bars enter with min(0, cost - worth) each. Rounded up to a whole number.
std::int64_t cost_bound(const Model& model, const Remainder& remainder, const Prices& prices);

/// sum n_k worth[k] - sum price[i] demand[i]: negative where the mix of bars cannot meet all demands; otherwise what
/// all its bars together may fall short of their worth.
__int128 mix_slack(const Model& model, const Prices& prices, std::span<const std::int64_t> mix);

/// Length itself as the price.
Prices length_prices(const Model& model);

/// With one kind of bar: the best of some dual feasible functions of length, cheap where many pieces are long. Pieces
/// longer than a bar less `e` count as a whole bar, shorter ones than `e` as nothing (the bound L2 of Martello and
/// Toth, Knapsack Problems, 1990, section 8.3); beyond that, lengths rounded in steps of a (k+1)th of a bar (Fekete and
/// Schepers, Mathematical Programming 91, 2001).
Prices step_prices(const Model& model);

}  // namespace garthwright::cutting
