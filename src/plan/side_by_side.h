// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "base/diagnostic.h"
#include "solid/solid.h"
#include "structure/garden.h"

namespace garthwright {

/// What parts of a garden do to each other and to what is there already, once for each two of them, by the worst place:
/// "parts-clash" (an error) where they share space; "parts-touch" and "parts-near", remarks, where they touch without a
/// joint, or leave less room than hands need; "holes-meet" where two holes run into each other. `solids`: of each
/// structure.
Diagnostics side_by_side(const Garden& garden, const std::vector<solid::Solids>& solids, LengthStyle style);

}  // namespace garthwright
