// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "plan/plan.h"

namespace garthwright::exchange {

/// The plan as plan.json (docs/plan-file.md, docs/plan.schema.json): UTF-8, two spaces of indent, keys in the order of
/// the document, a newline at the end. Lengths in mm to 0.001, angles in degrees to 0.001, masses in kg to 0.001, money
/// in minor units. The same plan gives the same bytes.
std::string plan_json(const Plan& plan);

}  // namespace garthwright::exchange
