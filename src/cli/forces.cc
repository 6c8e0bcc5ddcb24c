// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <memory>

#include "cli/command.h"
#include "exchange/forces_json.h"
#include "exchange/write_files.h"
#include "plan/plan.h"
#include "plan/standing.h"
#include "structure/check_words.h"

namespace garthwright::cli {

namespace {

/// The greatest force on each fixing's item, with where and when, for a person.
std::string told(const strength::Solved& s) {
  struct Most {
    double force = 0;
    const strength::Case* when = nullptr;
    int fixings = 0;
  };
  std::vector<Most> of_joint(s.structure.joints.size());
  for (const strength::Crossing& crossing : s.model.crossings) {
    Most& most = of_joint[static_cast<std::size_t>(crossing.joint.index)];
    ++most.fixings;
    for (const strength::Case& c : s.ultimate) {
      const double force = norm(strength::fixing_force(s, c, crossing).force);
      if (force > most.force) most.force = force, most.when = &c;
    }
  }
  std::vector<std::pair<std::string, Most>> rows;
  for (std::size_t j = 0; j < of_joint.size(); ++j) {
    const Joint& joint = s.structure.joints[j];
    if (of_joint[j].when != nullptr)
      rows.emplace_back(describe(s.structure, joint.a) + " and " + describe(s.structure, joint.b), of_joint[j]);
  }
  std::stable_sort(rows.begin(), rows.end(),
                   [](const auto& a, const auto& b) { return a.second.force > b.second.force; });
  std::string text =
      fmt::format("{}: {} bars, {} fixings, {} places that press, {} combinations\n", s.structure.name,
                  s.model.bars.size(), s.model.crossings.size(), s.model.pressed.size(), s.ultimate.size());
  for (const strength::Loosened& l : s.loosened)
    text += fmt::format("  comes off: {} ({})\n", strength::words_of(s.structure, l), words_of(l.when, s.structure));
  for (const auto& [where, most] : rows)
    text += fmt::format("  {:>6.0f} N  on one of {} of {} ({})\n", most.force, most.fixings, where,
                        words_of(most.when->when, s.structure));
  return text;
}

Status tell(const std::string& job, const std::string& json) {
  const Result<JobOnShelves> read = read_job(job);
  if (!read) return wrong(read.error());
  PlanOptions without_checks;
  without_checks.checks = false;
  const Result<Plan> plan = make_plan(read->job, read->shelves, without_checks);
  if (!plan) return wrong(plan.error());
  const Result<std::vector<strength::Solved>> solved = frames_of(plan->garden, plan->site);
  if (!solved) return wrong(solved.error());
  if (json == "-") return write_out(exchange::forces_json(*solved));
  if (!json.empty()) {
    const std::filesystem::path path(json);
    const std::string folder = path.has_parent_path() ? path.parent_path().string() : ".";
    const Result<void> wrote =
        exchange::write_all(folder, {{path.filename().string(), exchange::forces_json(*solved)}});
    if (!wrote) {
      print(wrote.error());
      return kMachineFailed;
    }
  }
  std::string text;
  for (const strength::Solved& s : *solved) text += told(s);
  return write_out(text);
}

}  // namespace

void add_forces(CommandLine& words) {
  struct Given {
    std::string job, json;
  };
  auto given = std::make_shared<Given>();
  Command command = words.add("forces", "Tell the load on every fixing, and the frame it was reckoned from");
  command.argument("JOB", given->job, "job file (TOML), or - for standard input");
  command.option("--json", "FILE", given->json,
                 "the whole frame, its loads and forces, for anyone's check; - for standard output");
  command.note(
      "Every fixing is a link of its own, faces that touch push and never pull, every combination is solved by "
      "itself.\n"
      "docs/forces.schema.json has every key: with it each timber's balance can be checked.");
  command.runs([given] { return tell(given->job, given->json); });
}

}  // namespace garthwright::cli
