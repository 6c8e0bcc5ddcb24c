// SPDX-License-Identifier: Apache-2.0
#include "plan/not_made.h"

#include <algorithm>

namespace garthwright {

int count_not_made(const Plan& plan) {
  const std::vector<const Check*> all = all_checks(plan);
  return static_cast<int>(std::count_if(all.begin(), all.end(), [](const Check* c) {
    const bool of_what_is_unknown = c->kind == CheckKind::unsolved || c->kind == CheckKind::grade;
    return of_what_is_unknown && c->verdict == Verdict::attention;
  }));
}

}  // namespace garthwright
