// SPDX-License-Identifier: Apache-2.0
#pragma once

/// Whether a mix of bars can be cut into all pieces, given every pattern that could matter: branch and bound on how
/// many bars hold two items together (after Ryan and Foster, 1981; Vanderbeck, Operations Research 48, 2000). Because
/// the list of patterns is complete, branching is one more row of the linear programme; no pricing is disturbed.
/// Nodes are closed by whole-number arithmetic only.

#include <optional>
#include <span>
#include <vector>

#include "cutting/model.h"
#include "cutting/pricing.h"
#include "cutting/work.h"

namespace garthwright::cutting {

enum class Packing { found, refuted, unknown };

struct PackResult {
  Packing packing = Packing::unknown;
  Plan plan;  ///< when found; within the mix
  std::int64_t nodes = 0;
};

PackResult pack(const Model& model, std::span<const std::int64_t> mix, const std::vector<Pattern>& patterns,
                const Prices& prices, std::int64_t most_nodes, Work& work);

}  // namespace garthwright::cutting
