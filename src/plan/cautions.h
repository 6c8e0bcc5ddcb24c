// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

namespace garthwright {

struct Plan;

/// Short lines for print, in the order of the work: what can hurt, and what this plan does not answer for. Each is the
/// usual caution of the trade (common practice); the ones on lifting name the plan's own masses.
std::vector<std::string> cautions(const Plan& plan);

}  // namespace garthwright
