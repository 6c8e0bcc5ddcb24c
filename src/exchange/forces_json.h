// SPDX-License-Identifier: Apache-2.0
//
// The frame of each structure as it is reckoned, for anyone's check; docs/forces.schema.json has every key.
#pragma once

#include <string>
#include <vector>

#include "strength/cases.h"

namespace garthwright::exchange {

std::string forces_json(const std::vector<strength::Solved>& solved);

}  // namespace garthwright::exchange
