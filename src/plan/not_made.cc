// SPDX-License-Identifier: Apache-2.0
#include "plan/not_made.h"

#include <algorithm>

namespace garthwright {

int count_not_made(const Plan& plan) {
  const std::vector<const Check*> all = all_checks(plan);
  return static_cast<int>(std::count_if(all.begin(), all.end(), [](const Check* c) {
    return c->verdict == Verdict::attention && c->demand == 0 && c->capacity == 0 && c->utilisation == 0;
  }));
}

}  // namespace garthwright
