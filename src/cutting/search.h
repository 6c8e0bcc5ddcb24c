// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <functional>
#include <limits>
#include <optional>

#include "cutting/model.h"
#include "cutting/work.h"

namespace garthwright::cutting {

/// Called with (cost, bound) when either improves.
using Report = std::function<void(std::int64_t, std::int64_t)>;

struct Outcome {
  std::optional<Plan> plan;
  std::int64_t bound = 0;
  bool infeasible = false;  ///< proven that there is no plan in the window
  std::int64_t nodes = 0;
};

/// What is known or asked beforehand, in the model's cost unit.
struct Window {
  std::int64_t known_bound = 0;                                         ///< no plan costs less
  std::int64_t at_most = std::numeric_limits<std::int64_t>::max() / 4;  ///< dearer plans are of no interest
};

/// Least-cost plan and the proof of it, or the best within the work limit and a bound. With two threads the same.
Outcome search(const Model& model, const Window& window, const Report& report, Work& work, int threads = 1);

}  // namespace garthwright::cutting
