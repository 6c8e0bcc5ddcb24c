// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "pattern/job.h"
#include "solid/solid.h"
#include "structure/garden.h"

namespace garthwright {

/// Whether each leaf can open: "leaf-strikes" (an error) where it strikes a timber, a panel or what is there already on
/// its way, with how far it opens; "leaf-drags" where the ground under its way stands higher than its foot. Looked at
/// every two degrees. `solids`: of each structure.
Diagnostics swept(const Garden& garden, const std::vector<solid::Solids>& solids, LengthStyle style);

}  // namespace garthwright
