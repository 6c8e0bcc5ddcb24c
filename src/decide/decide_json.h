// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "decide/decide.h"

namespace garthwright::decide {

/// The answer as docs/decide.schema.json has it.
std::string decide_json(const Answer& answer);

}  // namespace garthwright::decide
