// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

/// The least time in which a few people finish tasks that wait for each other (the resource-constrained project
/// scheduling problem with one resource and start lags).

namespace garthwright::assembly {

struct Task {
  std::string id;
  double hours = 0;
  int hands = 1;  ///< workers it takes, from start to end

  struct After {
    int task = 0;
    double lag_hours = 0;  ///< at least this long after that task's end
  };
  std::vector<After> after;
};

/// One of the tasks that wait for each other in a ring, or nothing.
std::optional<int> task_in_a_ring(const std::vector<Task>& tasks);

struct Makespan {
  std::optional<double> hours;  ///< nothing when some task takes more hands than there are
  bool proved = false;          ///< whether `hours` is the least; false only when the search was cut short
  std::vector<double> starts;   ///< a schedule that takes that long
};

struct MakespanLimits {
  long nodes = 4'000'000;
};

/// Exact: tasks are added in order of their starts (the precedence tree of Patterson, Słowiński, Talbot & Węglarz
/// 1989), cut off by the critical path and by the work left, and by states met before. No ring may be among the tasks.
Makespan least_makespan(const std::vector<Task>& tasks, int workers, MakespanLimits limits = {});

}  // namespace garthwright::assembly
