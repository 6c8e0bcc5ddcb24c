// SPDX-License-Identifier: Apache-2.0
#include "cli/verdict.h"

#include <fmt/format.h>

#include "plan/not_made.h"

namespace garthwright::cli {

Status verdict(const Plan& plan) {
  return has_error(plan.diagnostics) || count(plan, Verdict::fails) > 0 || !is_whole(plan) ? kCheckFails : kDone;
}

std::string stands(const Plan& plan) {
  const int fails = count(plan, Verdict::fails), not_made = count_not_made(plan);
  const int made = static_cast<int>(all_checks(plan).size()) - not_made;
  const Check* worst = fails > 0 ? worst_check(plan) : nullptr;
  std::string counts;
  for (const std::string& line : stand_lines(plan.stands, plan.garden, plan.site)) counts += line + "\n";
  counts += fmt::format("of {} checks {} fail and {} want attention", made, fails,
                        count(plan, Verdict::attention) - not_made);
  if (not_made > 0) counts += fmt::format("; {} could not be made", not_made);
  if (worst == nullptr) return counts + "; indicative only, local codes and licensed practice go before them\n";
  const CheckWords called = words_of(plan, *worst);
  const std::string used =
      worst->capacity > 0 ? fmt::format(" ({:.0f} % used; {})", 100 * worst->utilisation, called.when) : "";
  return fmt::format("{}; worst: {}{}\n  {}\n  garthwright decide --advice finds what to change so that all pass\n",
                     counts, called.title, used, worst->plain);
}

}  // namespace garthwright::cli
