// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "pattern/job.h"
#include "solid/solid.h"
#include "structure/existing.h"
#include "structure/structure.h"

namespace garthwright {

/// Whether each leaf can open: "leaf-strikes" (an error) where it strikes a timber, a panel or what is there already on
/// its way, with how far it opens; "leaf-drags" where the ground under its way stands higher than its foot. Looked at
/// every two degrees. `solids`: of each structure; `existing` stands on the ground.
Diagnostics swept(const std::vector<Structure>& structures, const std::vector<solid::Solids>& solids,
                  const std::vector<Existing>& existing, const Ground& ground, LengthStyle style);

}  // namespace garthwright
