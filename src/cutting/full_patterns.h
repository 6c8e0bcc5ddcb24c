// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "cutting/model.h"
#include "cutting/pricing.h"
#include "cutting/work.h"

namespace garthwright::cutting {

/// Patterns that leave at most `waste` of their bar, of many kinds: items are priced by their length and a little more,
/// another share in every round, and for each item one of the best patterns that hold it is kept. Where a plan can
/// waste little, the relaxation ends sooner with such columns than with those it would ask for one round after another.
std::vector<Pattern> full_patterns(const Model& model, std::int64_t waste, int rounds, Pricer& pricer, Work& work);

}  // namespace garthwright::cutting
