// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "assembly/access.h"
#include "assembly/cases.h"
#include "assembly/planner.h"
#include "assembly/standing.h"
#include "assembly/verifier.h"

namespace garthwright::assembly {
namespace {

using json = nlohmann::ordered_json;

/// Kept short and the same on every machine.
double rounded(double x) {
  const double r = std::round(x * 1e6) / 1e6;
  return r == 0 ? 0 : r;
}

json ids_of(const Assembly& assembly, const std::vector<int>& pieces) {
  json list = json::array();
  for (int i : pieces) list.push_back(assembly.pieces[i].id);
  return list;
}

json step_json(const Assembly& assembly, const Move& move) {
  json step{{"move", ids_of(assembly, move.moving)}, {"to", ids_of(assembly, move.onto)}};
  if (move.path.empty()) {
    step["dir"] = *name_of(move.way_in);
    return step;
  }
  step["path"] = json::array();
  for (const Vec3& leg : move.path) step["path"].push_back({rounded(leg.x), rounded(leg.y), rounded(leg.z)});
  return step;
}

json step_json(const Assembly& assembly, const Drive& drive) {
  json step{{"drive", assembly.fasteners[drive.fastener].id}};
  if (!(drive.down == Vec3{0, 0, -1})) step["down"] = *name_of(drive.down);
  if (!drive.on_site) step["on_site"] = false;
  return step;
}

Result<json> plan_answer(const Case& c) {
  const PlanResult result = plan_assembly(c.assembly);
  if (!result.buildable) {
    json blocked = ids_of(c.assembly, result.blocked_pieces);
    for (int f : result.blocked_fasteners) blocked.push_back(c.assembly.fasteners[f].id);
    return json{{"buildable", false}, {"blocked", blocked}};
  }
  const Verdict verdict = verify(c.assembly, result.plan);
  if (!verdict.accepted()) {
    return fail("plan-refused",
                fmt::format("case {}: the plan found is refused at step {}: {}: {}", c.id, verdict.step + 1,
                            name(verdict.fault), verdict.why),
                "this is a fault of the program; please report the case");
  }
  json steps = json::array();
  for (const Step& step : result.plan) {
    steps.push_back(std::visit([&](const auto& s) { return step_json(c.assembly, s); }, step));
  }
  return json{{"buildable", true}, {"steps", steps}};
}

json removable_answer(const Case& c) {
  json answer = json::object();
  for (const Removable& r : first_removable(c.assembly, c.directions)) {
    std::vector<std::string> names;
    for (const Vec3& way : r.ways) names.push_back(*name_of(way));
    std::sort(names.begin(), names.end());
    answer[c.assembly.pieces[r.piece].id] = names;
  }
  return answer;
}

json drivable_answer(const Case& c) {
  const Access access(c.assembly);
  json answer = json::array();
  for (const DrivableQuestion& q : *c.ask.drivable) {
    PieceSet present(static_cast<int>(c.assembly.pieces.size()));
    for (int i : q.with) present.insert(i);
    answer.push_back(access.fit(q.fastener, present, q.down, q.on_site) == Fit::fits);
  }
  return answer;
}

Result<json> turns_answer(const Case& c) {
  json answer = json::array();
  for (const TurnsQuestion& q : *c.ask.min_turns) {
    const LeastTurns least = least_turns(c.assembly, candidate_ways(c.assembly), q);
    if (!least.proved)
      return fail("too-large",
                  fmt::format("case {}: min_turns has too many orders of {} pieces to look through", c.id,
                              c.assembly.pieces.size()),
                  "ask of fewer pieces, or fix those that stand first");
    answer.push_back(least.turns ? json(*least.turns) : json());
  }
  return answer;
}

json states_answer(const Case& c) {
  json answer = json::array();
  for (const StateQuestion& q : *c.ask.states) {
    std::vector<const Piece*> placed;
    for (int i : q.placed) placed.push_back(&c.assembly.pieces[i]);
    const Standing s = standing(placed, q.down, c.assembly.touch);
    json state{{"stable", s.stable()},
               {"margin_mm", rounded(s.margin_mm)},
               {"tip_deg", rounded(s.tip_deg)},
               {"mass_kg", rounded(s.mass_kg)}};
    if (q.limit_kg) state["persons"] = persons_to_lift(s.mass_kg, q.share, *q.limit_kg);
    answer.push_back(state);
  }
  return answer;
}

json mechanisms_answer(const Case& c) {
  json answer = json::array();
  for (const PinFrame& frame : *c.ask.mechanisms) answer.push_back(mechanism_count(frame));
  return answer;
}

Result<json> makespan_answer(const Case& c) {
  json answer = json::array();
  for (int workers : *c.ask.makespan_workers) {
    const Makespan least = least_makespan(c.tasks, workers);
    if (!least.proved)
      return fail(
          "too-large",
          fmt::format("case {}: makespan has too many orders of {} tasks to look through", c.id, c.tasks.size()),
          "ask of fewer tasks, or say which wait for which");
    answer.push_back(least.hours ? json(rounded(*least.hours)) : json());
  }
  return answer;
}

json sway_answer(const Case& c) {
  const double v = sway(c.portal);
  return {{"sway_mm", rounded(v)}, {"racks", v > c.sway_limit_mm}};
}

json tilt_answer(const Case& c) {
  const TiltResult result = tilt_out(c.section);
  json answer{{"translation", result.by_shifts_alone}, {"way_out", nullptr}};
  if (result.way_out) {
    answer["way_out"] = json::array();
    for (const Pose& p : *result.way_out) {
      answer["way_out"].push_back({{"dy", rounded(p.dy)}, {"dz", rounded(p.dz)}, {"deg", rounded(p.deg)}});
    }
  }
  return answer;
}

Result<json> answer_case(const Case& c) {
  json answer = json::object();
  Diagnostics wrong;
  const auto put = [&](const char* key, Result<json> value) {
    if (value) {
      answer[key] = std::move(*value);
    } else {
      wrong.insert(wrong.end(), value.error().begin(), value.error().end());
    }
  };
  if (c.ask.plan) put("plan", plan_answer(c));
  if (c.ask.first_removable) put("first_removable", removable_answer(c));
  if (c.ask.drivable) put("drivable", drivable_answer(c));
  if (c.ask.min_turns) put("min_turns", turns_answer(c));
  if (c.ask.states) put("states", states_answer(c));
  if (c.ask.mechanisms) put("mechanisms", mechanisms_answer(c));
  if (c.ask.makespan_workers) put("makespan", makespan_answer(c));
  if (c.ask.sway) put("sway", sway_answer(c));
  if (c.ask.tilt) put("tilt", tilt_answer(c));
  if (!wrong.empty()) return tl::unexpected(wrong);
  return answer;
}

}  // namespace

Result<std::string> answer_cases_json(std::string_view text, std::string file_name) {
  const auto cases = read_cases(text, file_name);
  if (!cases) return tl::unexpected(cases.error());
  json answers = json::object();
  Diagnostics wrong;
  for (const Case& c : *cases) {
    Result<json> answer = answer_case(c);
    if (answer) {
      answers[c.id] = std::move(*answer);
      continue;
    }
    for (Diagnostic d : answer.error()) {
      d.where.file = file_name;
      wrong.push_back(std::move(d));
    }
  }
  if (!wrong.empty()) return tl::unexpected(wrong);
  return answers.dump(1, ' ', true) + "\n";
}

}  // namespace garthwright::assembly
