// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "plan/thrift.h"

namespace garthwright::exchange {

/// {"currency", "choices": [{"structure", "choice", "unit", "step", "now", "now_minor", "proven", "steps": [{"from",
/// "to", "cost_minor", "lower_bound_minor"} or {"from", "to", "refusal"}], "cheaper": [{"value", "cost_minor",
/// "saved_minor", "pieces", "lines"}], "passed_over"}]}. Lengths in mm, counts as they are.
std::string thrift_json(const std::vector<ChoiceThrift>& choices, const Currency& currency);

}  // namespace garthwright::exchange
