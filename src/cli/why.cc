// SPDX-License-Identifier: Apache-2.0

#include <memory>

#include "base/plain_text.h"
#include "cli/command.h"
#include "plan/plan.h"

namespace garthwright::cli {

static Status tell_why(const std::string& path, const std::string& mark) {
  const Result<JobOnShelves> read = read_job(path);
  if (!read) return wrong(read.error());
  PlanOptions wanted;
  wanted.checks = false;  // they change no length
  const Result<Plan> plan = make_plan(read->job, read->shelves, wanted);
  if (!plan) return wrong(plan.error());
  const Result<std::vector<std::string>> lines = why(*plan, mark);
  if (!lines) return wrong(lines.error());
  std::string text;
  for (const std::string& line : *lines) text += line + "\n";
  return write_out(for_terminal(text));
}

void add_why(CommandLine& words) {
  struct Given {
    std::string path, mark;
  };
  auto given = std::make_shared<Given>();
  Command command = words.add("why", "Tell why a piece is as long as it is");
  command.argument("JOB", given->path, "job file (TOML), or - for standard input");
  command.argument("MARK", given->mark, "mark of the piece, as in the piece list: A1");
  command.note("Prints the sum the length comes from, and the choices and sizes that the sum rests on.");
  command.runs([given] { return tell_why(given->path, given->mark); });
}

}  // namespace garthwright::cli
