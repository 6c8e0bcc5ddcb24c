// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "sequence/kit.h"
#include "sequence/rates.h"
#include "sequence/stages.h"
#include "sequence/units.h"

/// Effort in minutes: what every step takes, and what is hard about it. Work above the shoulder counts double, a tool
/// change, a turn, a prop, a second person in a lift and a new stage each cost their own. Waiting costs nothing.

namespace garthwright::sequence {

struct Work {
  double minutes = 0;
  std::vector<double> of_stage;
};

/// Weighs any stages, ours or another's.
Work weigh(const Kit& kit, const std::vector<Stage>& stages, const Rates& rates, bool no_power);

/// No order made of loose bodies and any of these units takes less: every body, fixing and hole at its cheapest place,
/// no tool change, no second person.
double least_minutes(const Kit& kit, const Tables& tables, const std::vector<Unit>& units, const Rates& rates,
                     bool no_power);

}  // namespace garthwright::sequence
