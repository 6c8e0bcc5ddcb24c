// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <memory>

#include "cli/command.h"
#include "plan/plan.h"

namespace garthwright::cli {

static Status check(const std::string& path) {
  const Result<JobOnShelves> read = read_job(path);
  if (!read) return wrong(read.error());
  const Result<Plan> plan = make_plan(read->job, read->shelves);
  if (!plan) return wrong(plan.error());
  print(plan->diagnostics);
  const bool fails = has_error(plan->diagnostics);
  const Status wrote = write_out(fmt::format("{}: {}\n", read->job.file,
                                             fails                       ? "can be planned, but a check fails"
                                             : plan->diagnostics.empty() ? "nothing against it"
                                                                         : "can be planned; see the remarks"));
  return wrote != kDone ? wrote : fails ? kCheckFails : kDone;
}

void add_check(CommandLine& words) {
  auto path = std::make_shared<std::string>();
  Command command = words.add("check", "Say what is wrong with a job, and write nothing");
  command.argument("JOB", *path, "job file (TOML), or - for standard input");
  command.note(
      "Reads the job, builds its structures and runs every check; remarks go to standard error as\n"
      "file:line:column: severity: what is wrong; what would be right [code].");
  command.runs([path] { return check(*path); });
}

}  // namespace garthwright::cli
