// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <memory>

#include "cli/command.h"
#include "cli/still_working.h"
#include "cli/verdict.h"

namespace garthwright::cli {

namespace {

struct Given {
  std::string job;
  bool quick = false;
  double limit_s = 0;
};

/// One line on the job; what was not looked at is never called good.
std::string told(const Plan& plan, bool quick) {
  const bool doubts = (!quick && count(plan, Verdict::attention) > 0) || !plan.diagnostics.empty();
  const bool fails = has_error(plan.diagnostics) || count(plan, Verdict::fails) > 0;
  const std::string found = fails             ? "can be planned, but a check fails"
                            : !is_whole(plan) ? "can be planned; the time was up before all was looked at"
                            : doubts          ? "can be planned; see the remarks"
                            : quick           ? "nothing against it so far"
                                              : "nothing against it";
  return found + (quick ? "; strength, ground and the order of work were not looked at (--quick)" : "");
}

std::string fails_in(const Plan& plan) {
  std::string text;
  for (const Check* check : all_checks(plan))
    if (check->verdict == Verdict::fails)
      text += fmt::format("  fails: {}: {}\n", words_of(plan, *check).title, check->plain);
  return text;
}

/// The same plan that `plan` makes, so that both come to the same verdict; with --quick of the pieces, their joints and
/// what to buy alone.
Status check(const Given& given) {
  const Result<JobOnShelves> read = read_job(given.job);
  if (!read) return wrong(read.error());
  const Waiting waiting(patience_of(given.limit_s));
  PlanOptions wanted;
  wanted.checks = wanted.stands = !given.quick;
  if (!given.quick) wanted.order = sequence::Options{};
  const Result<Plan> plan = [&] {
    const StillWorking working("checking");
    return make_plan(read->job, read->shelves, wanted);
  }();
  if (!plan) return wrong(plan.error());
  print(plan->diagnostics);
  std::string words = fmt::format("{}: {}\n", read->job.file, told(*plan, given.quick));
  if (!given.quick) words += stands(*plan) + fails_in(*plan);
  const Status wrote = tell(words);
  return wrote != kDone ? wrote : verdict(*plan);
}

}  // namespace

void add_check(CommandLine& words) {
  auto given = std::make_shared<Given>();
  Command command = words.add("check", "Say what is wrong with a job, and write nothing");
  command.argument("JOB", given->job, "job file (TOML), or - for standard input");
  command.flag("--quick", given->quick, "leave out strength, ground and the order of work, and say so");
  add_limit(command, given->limit_s);
  command.note(
      "Reads the job, builds its structures and runs every check that plan runs, with the same verdict and status;\n"
      "remarks go to standard error as file:line:column: severity: what is wrong; what would be right [code].");
  command.runs([given] { return check(*given); });
}

}  // namespace garthwright::cli
