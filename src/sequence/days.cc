// SPDX-License-Identifier: Apache-2.0
#include "sequence/days.h"

#include <algorithm>
#include <cmath>

namespace garthwright::sequence {

std::vector<Day> by_days(const std::vector<Stage>& stages, double day_hours) {
  constexpr double kWorthBeginning = 0.25;  // h; with less left in a day nothing is begun
  constexpr double kNight = 24;
  std::vector<Day> days;
  int day = 1;
  double used = 0;  // h since work began that day
  for (const Stage& stage : stages) {
    double left = stage.minutes / 60;
    do {
      if (used + kWorthBeginning > day_hours) ++day, used = 0;
      if (days.empty() || days.back().number != day) days.push_back({day, {}, 0, 1, 0});
      Day& today = days.back();
      const double now = std::min(left, day_hours - used);
      if (today.stages.empty() || today.stages.back() != stage.number) today.stages.push_back(stage.number);
      today.hours += now;
      today.people = std::max(today.people, stage.people);
      used += now;
      left -= now;
    } while (left > 1e-9);
    if (stage.wait_h <= 0) continue;
    days.back().wait_h = std::max(days.back().wait_h, stage.wait_h);
    const double ready = used + stage.wait_h;
    day += static_cast<int>(std::floor(ready / kNight));
    used = std::fmod(ready, kNight);
    if (used > day_hours) ++day, used = 0;  // in the evening
  }
  return days;
}

}  // namespace garthwright::sequence
