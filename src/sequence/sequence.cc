// SPDX-License-Identifier: Apache-2.0
#include "sequence/sequence.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
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

/// An order of one way.
struct Candidate {
  Way way;
  std::vector<const Unit*> units;
  std::vector<Stage> stages;
  double effort = 0;
};

struct Candidates {
  std::vector<Candidate> orders;  ///< at most one of each way: the one with least effort
  std::optional<Unit> whole;      ///< what the order of the whole is made of
  std::map<Way, std::string> cannot;
  Diagnostics why_not;  ///< where there is no order at all
};

bool is_assembly(const Structure& structure, const std::string& name) {
  return std::any_of(structure.assemblies.begin(), structure.assemblies.end(),
                     [&](const auto& a) { return a.name == name; });
}

bool has_unit(const std::vector<const Unit*>& units, const std::string& name) {
  return std::any_of(units.begin(), units.end(), [&](const Unit* u) { return u->name == name; });
}

/// One order; none where the rules are not held to.
std::optional<Candidate> order_of(const Kit& kit, const Tables& tables, Way way, std::vector<const Unit*> units,
                                  const Options& options, Diagnostics& against) {
  Candidate one{way, std::move(units), {}, 0};
  one.stages = write_stages(kit, tables, one.units, options, against);
  if (one.stages.empty()) return std::nullopt;
  one.effort = weigh(kit, one.stages, options.rates, options.no_power).minutes;
  return one;
}

/// Of every way the order with least effort. Every choice of sub-assemblies is tried.
Candidates candidates(const Kit& kit, const Tables& tables, const std::vector<Unit>& units, const UnitLimits& limits,
                      const Options& options) {
  Candidates found;
  const std::vector<std::string> kinds = kinds_of(units);
  std::map<Way, Candidate> best;
  const bool wants_unit = is_assembly(*kit.structure, options.first);
  for (unsigned choice = 0; choice < (1U << kinds.size()); ++choice) {
    look_at_the_clock();
    const Way way = choice == 0 ? Way::pieces : Way::parts;
    std::vector<const Unit*> some = chosen(units, kinds, choice);
    Diagnostics against;
    std::optional<Candidate> one = order_of(kit, tables, way, std::move(some), options, against);
    // A first sub-assembly that is not made is no first.
    if (one && wants_unit && !has_unit(one->units, options.first)) {
      one.reset();
      against = {
          {Severity::warning,
           "first-impossible",
           fmt::format("the {} cannot be made by itself and put up whole by {} people", options.first, options.people),
           "choose another first stage",
           {}}};
    }
    if (!one) {
      if (found.why_not.empty()) found.why_not = against;
      if (!against.empty()) found.cannot.try_emplace(way, against.front().what);
      continue;
    }
    if (const auto known = best.find(way); known == best.end() || one->effort < known->second.effort)
      best.insert_or_assign(way, *std::move(one));
  }
  if (kinds.empty()) found.cannot[Way::parts] = "nothing of it can be made by itself and lifted";

  std::string why_not;
  if (options.heads_in_place)
    why_not = "its posts are cut in their places";
  else if (!options.first.empty())
    why_not = fmt::format("{} is to come first", options.first);
  else
    found.whole = find_whole(kit, tables, options.rates, limits, why_not);
  if (found.whole) {
    Diagnostics against;
    if (auto one = order_of(kit, tables, Way::whole, {&*found.whole}, options, against))
      best.insert_or_assign(Way::whole, *std::move(one));
    else
      why_not = against.empty() ? "no order was found" : against.front().what;
  }
  if (!why_not.empty()) found.cannot[Way::whole] = why_not;
  for (auto& [way, one] : best) found.orders.push_back(std::move(one));
  return found;
}

/// The narrowest opening for the largest of what is made by itself.
std::optional<Opening> opening_for(const std::vector<const Unit*>& units) {
  std::optional<Opening> opening;
  for (const Unit* unit : units) {
    const Vec3 size = unit->box.size();
    std::array sides{size.x, size.y, size.z};
    std::sort(sides.begin(), sides.end());
    if (!opening) opening = Opening{};
    opening->wide_mm = std::max(opening->wide_mm, sides[0]);
    opening->high_mm = std::max(opening->high_mm, sides[1]);
  }
  return opening;
}

std::vector<WeighedWay> weighed(const Candidates& found) {
  std::vector<WeighedWay> ways;
  for (const Way way : kWays) {
    WeighedWay told;
    told.way = way;
    const auto one =
        std::find_if(found.orders.begin(), found.orders.end(), [&](const auto& c) { return c.way == way; });
    if (one == found.orders.end()) {
      const auto why = found.cannot.find(way);
      told.why_not = why != found.cannot.end() && !why->second.empty() ? why->second : "no order was found";
    } else {
      told.minutes = one->effort;
      told.stages = one->stages.size();
      for (const Step* step : all_steps(one->stages)) {
        const auto* bring = std::get_if<Bring>(step);
        if (bring == nullptr) continue;
        told.lift_kg = std::max(told.lift_kg, bring->kg);
        told.people = std::max(told.people, bring->people);
      }
      told.through = opening_for(one->units);
    }
    ways.push_back(std::move(told));
  }
  return ways;
}

/// The way that is asked for; else the one with least effort for which the people are at hand; else the one there is.
/// Marks it as taken.
const Candidate* chosen_of(const std::string& structure, const Candidates& found, std::vector<WeighedWay>& ways,
                           const Options& options, Diagnostics& told) {
  const Candidate* best = nullptr;
  for (const Candidate& one : found.orders) {
    const auto way = std::find_if(ways.begin(), ways.end(), [&](const WeighedWay& w) { return w.way == one.way; });
    if (options.way == one.way) {
      best = &one;
      break;
    }
    if (way->people <= options.people && (best == nullptr || one.effort < best->effort)) best = &one;
  }
  if (best == nullptr && !found.orders.empty()) best = &found.orders.front();
  if (best == nullptr) return nullptr;
  for (WeighedWay& way : ways) {
    way.taken = way.way == best->way;
    if (options.way == way.way && !way.taken)
      told.push_back({Severity::warning,
                      "way-impossible",
                      fmt::format("{} cannot be put up by --way {}: {}; it is put up by --way {}", structure,
                                  name(way.way), way.why_not, name(best->way)),
                      fmt::format("say --way {}, or ask for lighter or smaller parts", name(best->way)),
                      {}});
  }
  return best;
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
  const UnitLimits limits{options.people, options.carry_mm, options.carry_kg, options.through, options.style};
  std::vector<Unit> units = find_units(kit, tables, options.rates, limits);
  // A post that is cut to its length in its place stands before anything is fixed to it.
  if (options.heads_in_place) std::erase_if(units, [](const Unit& u) { return u.standing; });
  const Candidates found = candidates(kit, tables, units, limits, options);
  report.ways = weighed(found);
  const Candidate* best = chosen_of(structure.name, found, report.ways, options, report.diagnostics);
  if (best == nullptr) {
    report.diagnostics = found.why_not;
    return report;
  }
  report.stages = best->stages;
  report.effort = best->effort;
  describe(report.stages, kit, best->units, options.style);
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
