// SPDX-License-Identifier: Apache-2.0
#pragma once

/// How many bars of each kind are bought. Prices rarely rise in step with length, so the relaxation lies well below the
/// least cost, mostly because it buys fractions of bars. Listing whole mixes by cost closes that part of the gap: any
/// prices of rows refute a mix whose bars are worth less than what is wanted (see lower_bound.h), and what is left to
/// decide is whether one mix can be cut into all pieces.

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "cutting/model.h"
#include "cutting/pricing.h"
#include "cutting/work.h"

namespace garthwright::cutting {

struct Mix {
  std::vector<std::int64_t> bars;  ///< by kind
  std::int64_t cost = 0;
};

/// All mixes of cost `low` to `high` that no prices refute, cheapest first; none if they are more than `most`.
/// Left out are mixes with a bar, or two, where a better one that is no dearer is still to be had. Where they are too
/// many, `some` gets those found by then.
std::optional<std::vector<Mix>> list_mixes(const Model& model, std::int64_t low, std::int64_t high,
                                           std::span<const Prices> prices, std::size_t most, Work& work,
                                           std::vector<Mix>* some = nullptr);

/// Whether every bar of `mix` could be exchanged for one at least as good of `other`, each used once.
bool contained(const Model& model, std::span<const std::int64_t> mix, std::span<const std::int64_t> other);

}  // namespace garthwright::cutting
