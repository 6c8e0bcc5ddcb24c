// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "exchange/gltf.h"

namespace garthwright::exchange {

/// What the file's header says, and what is in it.
struct StepAbout {
  std::string name = "garden";  ///< of the job; letters beyond ASCII become _
  std::string date = {};        ///< ISO 8601 day, the job's; empty: the first of 1970, as no clock is read
  std::optional<Body> only{};   ///< this body of the first model alone, in its own coordinates
};

/// STEP (ISO 10303-21, AP214) of all structures where they stand in the garden, in mm, z up: one product for each mark
/// ("A1 post"), placed once for each piece ("A1 left front post") in an assembly for its group ("left side") and that
/// in one for its structure, exact surfaces, a colour for each kind of member. The header carries no clock, host or
/// person, so the same input gives the same bytes. Fails with "no-step" when the kernel cannot translate a shape, or
/// there is nothing to write.
Result<std::string> step_bytes(const std::vector<Model>& models, const StepAbout& about = {});

}  // namespace garthwright::exchange
