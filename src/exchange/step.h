// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "exchange/gltf.h"

namespace garthwright::exchange {

/// STEP (ISO 10303-21, AP214) of all structures where they stand in the garden, in mm, z up: one product for each mark
/// ("A1 post"), placed once for each piece ("A1 left front post") in an assembly for its structure, exact surfaces,
/// no colours. The header carries no clock, host or person, so the same input gives the same bytes.
/// Fails with "no-step" when the kernel cannot translate a shape, or there is nothing to write.
Result<std::string> step_bytes(const std::vector<Model>& models);

}  // namespace garthwright::exchange
