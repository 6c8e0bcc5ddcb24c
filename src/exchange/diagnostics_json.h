// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "base/diagnostic.h"
#include "exchange/json_values.h"

namespace garthwright::exchange {

/// [{code, severity, what, where: {file, line, column, piece}, cure}]: `Diagnostics` of docs/openapi.json, which the
/// server answers and the command line prints with --errors json.
Json diagnostics_json(const Diagnostics& diagnostics);

/// {"diagnostics": […]} and a line's end: `Problem` of docs/openapi.json.
std::string problem_json(const Diagnostics& diagnostics);

}  // namespace garthwright::exchange
