// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "base/length.h"
#include "sequence/kit.h"
#include "sequence/stages.h"
#include "sequence/units.h"

namespace garthwright::sequence {

/// Reads counts, people, lifts and plain words off the steps of every stage, and numbers them from 1. `units[k]` was
/// made at workplace k + 1.
void describe(std::vector<Stage>& stages, const Kit& kit, const std::vector<const Unit*>& units, LengthStyle style);

/// "from above", "from the front", "from the left and below": where something comes from that moves along `way`.
std::string comes_from(Vec3 way);

/// "4 posts", "1 cap", "2 knee braces".
std::string counted(std::size_t count, const std::string& noun);

/// "46 kg", or "101 lb" where lengths are in feet.
std::string mass_told(double kg, LengthStyle style);

/// "A1", "A1 and B2", "A1, B2 and C1".
std::string listed(const std::vector<std::string>& words);

}  // namespace garthwright::sequence
