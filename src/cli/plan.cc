// SPDX-License-Identifier: Apache-2.0
#include "plan/plan.h"

#include <fmt/format.h>

#include <filesystem>
#include <memory>

#include "cli/command.h"
#include "exchange/plan_json.h"
#include "exchange/tables_csv.h"
#include "exchange/write_files.h"

namespace garthwright::cli {

namespace {

struct Given {
  std::string job, out, json;
};

/// out/<name of the job file> when no folder was named.
std::string folder_for(const Given& given) {
  if (!given.out.empty()) return given.out;
  const std::string stem = std::filesystem::path(given.job).stem().string();
  return (std::filesystem::path("out") / (given.job == "-" || stem.empty() ? "job" : stem)).string();
}

std::vector<exchange::OutputFile> all_files(const Plan& plan) {
  std::vector<exchange::OutputFile> files;
  files.push_back({"plan.json", exchange::plan_json(plan)});
  files.push_back({"pieces.csv", exchange::pieces_csv(plan)});
  files.push_back({"shopping.csv", exchange::shopping_csv(plan)});
  return files;
}

Status machine_failed(const Diagnostics& reasons) {
  print(reasons);
  return kMachineFailed;
}

int pieces_in(const Plan& plan) {
  int count = 0;
  for (const PieceRow& row : plan.pieces) count += row.quantity;
  return count;
}

std::string summary(const Plan& plan, const std::string& folder, const std::vector<exchange::OutputFile>& files) {
  std::string names;
  for (const exchange::OutputFile& file : files) names += (names.empty() ? "" : ", ") + file.name;
  return fmt::format("{}: {} pieces under {} marks, {} to buy\n{}: {}\n", plan.title, pieces_in(plan),
                     plan.pieces.size(), format_money(plan.purchase.total, plan.purchase.currency), folder, names);
}

Status write_json(const Plan& plan, const std::string& path) {
  const std::string text = exchange::plan_json(plan);
  if (path == "-") return write_out(text);
  const std::filesystem::path target(path);
  const std::string folder = target.has_parent_path() ? target.parent_path().string() : ".";
  const Result<void> written = exchange::write_all(folder, {{target.filename().string(), text}});
  return written ? kDone : machine_failed(written.error());
}

Status write_files(const Plan& plan, const Given& given) {
  const std::vector<exchange::OutputFile> files = all_files(plan);
  const std::string folder = folder_for(given);
  const Result<void> written = exchange::write_all(folder, files);
  if (!written) return machine_failed(written.error());
  return given.json == "-" ? kDone : write_out(summary(plan, folder, files));
}

Status plan_job(const Given& given) {
  const Result<JobOnShelves> read = read_job(given.job);
  if (!read) return wrong(read.error());
  const Result<Plan> plan = make_plan(read->job, read->shelves);
  if (!plan) return wrong(plan.error());
  print(plan->diagnostics);

  Status status = kDone;
  if (!given.json.empty()) status = write_json(*plan, given.json);
  if (status == kDone && (given.json.empty() || !given.out.empty())) status = write_files(*plan, given);
  if (status != kDone) return status;
  return has_error(plan->diagnostics) ? kCheckFails : kDone;
}

}  // namespace

void add_plan(CommandLine& words) {
  auto given = std::make_shared<Given>();
  Command command = words.add("plan", "Plan a job and write its sheets and files");
  command.argument("JOB", given->job, "job file (TOML), or - for standard input");
  command.option("--out", "DIR", given->out, "folder to write to; made when missing (else out/<name of the job>)");
  command.option("--json", "FILE", given->json, "write plan.json alone to this file, or to standard output for -");
  command.note(
      "Files written to DIR (all of them or, when anything fails, none):\n"
      "  plan.pdf      drawings, piece list, cutting diagram, shopping list, cautions\n"
      "  plan.json     everything the plan says (docs/plan-file.md)\n"
      "  pieces.csv    the piece list\n"
      "  shopping.csv  the shopping list\n"
      "  model.step    the solids, for CAD programs\n"
      "  model.glb     the solids, for viewers (glTF)");
  command.runs([given] { return plan_job(*given); });
}

}  // namespace garthwright::cli
