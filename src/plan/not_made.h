// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "plan/plan.h"

namespace garthwright {

/// How many of the checks that want attention could not be made at all, and so neither pass nor fail: no frame to
/// solve, no strength known of the grade.
int count_not_made(const Plan& plan);

}  // namespace garthwright
