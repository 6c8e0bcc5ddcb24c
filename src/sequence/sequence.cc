// SPDX-License-Identifier: Apache-2.0
#include "sequence/sequence.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "base/near.h"
#include "base/patience.h"
#include "sequence/completeness.h"
#include "sequence/effort.h"
#include "sequence/kit.h"
#include "sequence/units.h"
#include "sequence/words.h"
#include "sequence/writer.h"

namespace garthwright::sequence {
namespace {

/// More kinds of sub-assembly than this are not tried in every combination: 2^6 orders.
constexpr std::size_t kMostKinds = 6;

std::vector<std::string> kinds_of(const std::vector<Unit>& units) {
  std::vector<std::string> kinds;
  for (const Unit& u : units)
    if (std::find(kinds.begin(), kinds.end(), u.kind) == kinds.end()) kinds.push_back(u.kind);
  if (kinds.size() > kMostKinds) kinds.resize(kMostKinds);
  return kinds;
}

std::vector<const Unit*> chosen(const std::vector<Unit>& units, const std::vector<std::string>& kinds,
                                unsigned choice) {
  std::vector<const Unit*> out;
  for (const Unit& u : units) {
    const auto kind = std::find(kinds.begin(), kinds.end(), u.kind) - kinds.begin();
    if (static_cast<std::size_t>(kind) < kinds.size() && (choice >> kind & 1U)) out.push_back(&u);
  }
  return out;
}

/// What is too long or heavy to be carried in at all.
Diagnostics too_large_to_carry(const Kit& kit, const Options& options) {
  for (int b = 0; b < kit.count(); ++b) {
    const double length = kit.length(b), kg = kit.kg[static_cast<std::size_t>(b)];
    if ((options.carry_mm <= 0 || length <= options.carry_mm) && (options.carry_kg <= 0 || kg <= options.carry_kg))
      continue;
    return {{Severity::warning,
             "carry-limit",
             fmt::format("{} is {} long and {:.0f} kg: more than may be carried in",
                         kit.assembly.pieces[static_cast<std::size_t>(b)].id, format_length(length, options.style), kg),
             "allow for it, or make it of shorter lengths",
             {}}};
  }
  return {};
}

}  // namespace

std::vector<const Step*> all_steps(const std::vector<Stage>& stages) {
  std::vector<const Step*> steps;
  for (const Stage& stage : stages)
    for (const Step& step : stage.steps) steps.push_back(&step);
  return steps;
}

Diagnostics check(const Structure& structure, const Options& options) {
  Diagnostics faults;
  if (options.people < 1 || options.people > 3)
    faults.push_back({Severity::error,
                      "bad-people",
                      fmt::format("{} people cannot be planned for", options.people),
                      "give 1, 2 or 3",
                      {}});
  if (!(options.carry_mm >= 0) || !(options.carry_kg >= 0))
    faults.push_back({Severity::error, "bad-carry", "a limit on what is carried is below 0", "give 0 for none", {}});
  if (options.first.empty()) return faults;
  std::set<std::string> known;
  for (const auto& assembly : structure.assemblies) known.insert(assembly.name);
  for (const Piece& piece : structure.pieces) known.insert({piece.name, piece.mark});
  if (!known.contains(options.first))
    faults.push_back({Severity::error,
                      "unknown-first",
                      fmt::format("there is no sub-assembly, piece or mark \"{}\" to begin with", options.first),
                      suggest(options.first, std::vector<std::string>(known.begin(), known.end())),
                      {}});
  return faults;
}

Report work_out(const Structure& structure, const solid::Solids& solids, const Options& options) {
  Report report;
  report.diagnostics = check(structure, options);
  if (has_error(report.diagnostics) || structure.pieces.empty()) return report;
  const Kit kit = make_kit(structure, solids, options.no_power);
  report.diagnostics = too_large_to_carry(kit, options);
  if (!report.diagnostics.empty()) return report;
  const Tables tables(kit);
  const std::vector<Unit> units =
      find_units(kit, tables, options.rates, {options.people, options.carry_mm, options.carry_kg});
  const std::vector<std::string> kinds = kinds_of(units);

  Diagnostics why_not;
  std::vector<const Unit*> best_units;
  for (unsigned choice = 0; choice < (1U << kinds.size()); ++choice) {
    look_at_the_clock();
    const std::vector<const Unit*> some = chosen(units, kinds, choice);
    Diagnostics against;
    std::vector<Stage> stages = write_stages(kit, tables, some, options, against);
    if (stages.empty()) {
      if (why_not.empty()) why_not = against;
      continue;
    }
    const double effort = weigh(kit, stages, options.rates, options.no_power).minutes;
    if (!report.stages.empty() && effort >= report.effort) continue;
    // A first sub-assembly that is not made is no first.
    const bool wants_unit = std::any_of(structure.assemblies.begin(), structure.assemblies.end(),
                                        [&](const auto& a) { return a.name == options.first; });
    if (wants_unit && std::none_of(some.begin(), some.end(), [&](const Unit* u) { return u->name == options.first; })) {
      why_not = {
          {Severity::warning,
           "first-impossible",
           fmt::format("the {} cannot be made by itself and put up whole by {} people", options.first, options.people),
           "choose another first stage",
           {}}};
      continue;
    }
    report.effort = effort;
    report.stages = std::move(stages);
    best_units = some;
  }
  if (report.stages.empty()) {
    report.diagnostics = why_not;
    return report;
  }
  describe(report.stages, kit, best_units, options.style);
  const Work work = weigh(kit, report.stages, options.rates, options.no_power);
  for (std::size_t i = 0; i < report.stages.size(); ++i) report.stages[i].minutes = work.of_stage[i];
  report.least_effort = least_minutes(kit, tables, units, options.rates, options.no_power);

  const std::vector<std::string> faults = left_out(structure, report.stages);
  if (!faults.empty()) {
    report.stages.clear();
    report.diagnostics.push_back({Severity::warning,
                                  "incomplete-order",
                                  "no complete order of work was found: " + faults.front(),
                                  "join it to the rest",
                                  {}});
  }
  return report;
}

}  // namespace garthwright::sequence
