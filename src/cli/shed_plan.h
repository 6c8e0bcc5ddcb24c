// SPDX-License-Identifier: Apache-2.0
//
// What the shed needs to know of a plan.json.
#pragma once

#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "shed/shed.h"

namespace garthwright::cli {

struct ShedPlan {
  std::string job;  ///< its title
  std::string key;  ///< a name for this very plan
  std::vector<shed::Item> uses, leaves;
};

/// Fails with "bad-plan" on a text that is none; `file` is its name in errors.
Result<ShedPlan> read_shed_plan(const std::string& text, const std::string& file);

}  // namespace garthwright::cli
