// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "assembly/assembly.h"
#include "assembly/directions.h"
#include "assembly/makespan.h"
#include "assembly/mechanism.h"
#include "assembly/plan.h"
#include "assembly/sway.h"
#include "assembly/tilt.h"
#include "assembly/turns.h"
#include "base/diagnostic.h"

/// Bare cases: small questions about building in a JSON file, each answered by the kernel. A file holds
/// `{"cases": [{"id": …, "pieces": […], …, "ask": {…}}]}`; docs/order-cases.md says what may stand in a case.

namespace garthwright::assembly {

struct DrivableQuestion {
  int fastener = 0;
  std::vector<int> with;
  Vec3 down{0, 0, -1};
  bool on_site = true;
};

struct StateQuestion {
  std::vector<int> placed;
  Vec3 down{0, 0, -1};
  std::optional<double> limit_kg;  ///< for one person at the height asked about
  double share = 1;
};

/// Which of the kernel's answers a case wants; an empty list is a question without parts, nothing is no question.
struct Ask {
  bool plan = false;
  bool first_removable = false;
  bool sway = false;
  bool tilt = false;
  std::optional<std::vector<DrivableQuestion>> drivable;
  std::optional<std::vector<TurnsQuestion>> min_turns;
  std::optional<std::vector<StateQuestion>> states;
  std::optional<std::vector<PinFrame>> mechanisms;
  std::optional<std::vector<int>> makespan_workers;
};

/// A plan that came with a case, and how its author judges it.
struct SamplePlan {
  std::string name;
  bool valid = false;
  std::string why;
  Plan steps;
};

struct Case {
  std::string id;
  Assembly assembly;
  Ways directions = axis_ways();
  std::vector<Task> tasks;
  ScrewedPortal portal;
  double sway_limit_mm = 0;
  Section section;
  Ask ask;
  std::vector<SamplePlan> plans;
};

/// Wrong input gets an error naming the case and the key.
Result<std::vector<Case>> read_cases(std::string_view text, const std::string& file_name);

/// Case id -> the keys of its `ask`, as JSON text. Every plan in it has been accepted by the verifier.
Result<std::string> answer_cases_json(std::string_view text, std::string file_name);

}  // namespace garthwright::assembly
