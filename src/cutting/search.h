// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <functional>
#include <optional>

#include "cutting/model.h"
#include "cutting/work.h"

namespace garthwright::cutting {

/// Called with (cost, bound) when either improves.
using Report = std::function<void(std::int64_t, std::int64_t)>;

struct Outcome {
  std::optional<Plan> plan;
  std::int64_t bound = 0;
  bool infeasible = false;  ///< proven that there is no plan
  std::int64_t nodes = 0;
};

/// Least-cost plan and the proof of it, or the best within the work limit and a bound.
Outcome search(const Model& model, const Report& report, Work& work);

}  // namespace garthwright::cutting
