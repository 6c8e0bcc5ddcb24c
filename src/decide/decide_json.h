// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "decide/decide.h"

namespace garthwright::decide {

/// Spaces that each level is set in by; kOneLine puts all of it on one line.
inline constexpr int kIndent = 1, kOneLine = -1;

/// The answer as docs/decide.schema.json has it.
std::string decide_json(const Answer& answer, int indent = kIndent);

}  // namespace garthwright::decide
