// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "plan/plan.h"

namespace garthwright {

/// How many of the checks that want attention could not be made at all: they have neither a demand nor a capacity, and
/// so neither pass nor fail.
int count_not_made(const Plan& plan);

}  // namespace garthwright
