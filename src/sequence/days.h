// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "sequence/stages.h"

/// The order of work by days: what is done on which, who is needed, and what sets meanwhile.

namespace garthwright::sequence {

/// Hours of work in a day (our own). Minutes are counted as if one worked and the others helped.
inline constexpr double kDayHours = 7;

struct Day {
  int number = 1;  ///< days on which nothing can be done are counted too
  std::vector<int> stages;
  double hours = 0;
  int people = 1;
  double wait_h = 0;  ///< to be left alone from its end, before the next may begin
};

std::vector<Day> by_days(const std::vector<Stage>& stages, double day_hours = kDayHours);

}  // namespace garthwright::sequence
