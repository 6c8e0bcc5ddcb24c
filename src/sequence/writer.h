// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "base/diagnostic.h"
#include "sequence/kit.h"
#include "sequence/sequence.h"
#include "sequence/stages.h"
#include "sequence/units.h"

namespace garthwright::sequence {

/// Writes the stages of an order in which these units are made on trestles and everything else goes in loose. Batches:
/// things of one name go in together. Empty when there is none; then `why_not` says what stands against it.
std::vector<Stage> write_stages(const Kit& kit, const Tables& tables, const std::vector<const Unit*>& units,
                                const Options& options, Diagnostics& why_not);

}  // namespace garthwright::sequence
