// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <set>

#include "base/near.h"
#include "pattern/build_unmarked.h"
#include "pattern/choices.h"
#include "pattern/compiled.h"
#include "pattern/described.h"
#include "pattern/job.h"
#include "pattern/lengths.h"
#include "pattern/lua_box.h"
#include "pattern/shelves.h"
#include "pattern/verbs.h"
#include "structure/garden_frame.h"
#include "structure/marks.h"
#include "structure/sloping.h"

namespace garthwright::pattern {
namespace {

/// Runs a pattern file and leaves its table at stack place 1.
void load(lua_State* lua, const ShelfFile& file) {
  push_compiled(lua, file);
  lua_call(lua, 0, 1);
}

void open_bench(LuaBox& box, Bench& bench) {
  box.context = &bench;
  if (box.state()) {
    add_lengths(box.state());
    add_verbs(box);
    box.seal();
  }
}

/// The job's ground in a structure's own coordinates, whose zero is set to the ground at its origin unless the job says
/// how high it lies. What had to be taken beyond the points measured is said once.
GroundAt ground_under(const Job& job, Structure& structure, bool levelled, Diagnostics& remarks) {
  const Traced zero = levelled ? Traced(structure.at.z) : job.ground.at(structure.at.x, structure.at.y).level;
  structure.at.z = zero.value();
  return [&job, &structure, &remarks, zero, said = false](double x, double y) mutable {
    const Vec3 in_garden = garden_frame(structure).to_world({x, y, 0});
    const Ground::Level found = job.ground.at(in_garden.x, in_garden.y);
    if (found.beyond && !said) {
      said = true;
      remarks.push_back({Severity::warning,
                         "beyond-the-ground",
                         fmt::format("{} reaches beyond the ground that was measured; the nearest level that was is "
                                     "taken there",
                                     structure.name),
                         "measure the ground out to its farthest post",
                         {}});
    }
    return found.level - zero;
  };
}

/// A misspelt joint in [structure.fixings] must not silently change nothing.
Result<void> every_given_fixing_used(const Order& order, const Structure& structure, const Bench& bench) {
  std::vector<std::string> known;
  for (const Connection& connection : structure.connections) known.push_back(connection.name);
  for (std::size_t i = 0; i < order.fixings.size(); ++i) {
    if (i < bench.fixings_used.size() && bench.fixings_used[i]) continue;
    const GivenFixing& given = order.fixings[i];
    return fail("unknown-joint", fmt::format("{} has no joints called \"{}\"", order.name, given.name),
                suggest(given.name, known), given.where);
  }
  return {};
}

}  // namespace

Result<Built> build_unmarked(const Job& job, const Order& order, const Shelves& shelves, std::vector<LentPost>* lent,
                             const std::vector<RaisedPost>& raised, std::set<std::string>* read) {
  const Result<ShelfFile> file = read_from_shelf(shelves.patterns, order.pattern, ".lua", "pattern");
  if (!file) {
    Diagnostics problems = file.error();
    for (Diagnostic& problem : problems) problem.where = order.where;
    return tl::make_unexpected(std::move(problems));
  }
  Built built;
  built.structure.name = order.name;
  built.structure.pattern = order.pattern;
  built.structure.at = order.at;
  built.structure.turn_deg = order.turn_deg;
  built.structure.order = order.number;
  built.structure.climber = order.climber;
  Bench bench{&shelves, &job, &order, &built.structure, {}, {}, false};
  if (lent) bench.lent = *lent;
  bench.raised = raised;
  if (job.ground.measured()) bench.ground = ground_under(job, built.structure, order.levelled, bench.remarks);
  LuaBox box;
  open_bench(box, bench);
  const Result<void> ran = box.guarded([&](lua_State* lua) {
    load(lua, *file);
    const PatternSpec spec = read_pattern(lua, 1);
    push_choices(lua, 1, spec);
    lua_getfield(lua, 1, "build");
    lua_insert(lua, -2);
    lua_call(lua, 1, 0);
  });
  if (read) *read = bench.read;
  if (!ran) return tl::make_unexpected(ran.error());
  if (built.structure.pieces.empty())
    return fail("empty-pattern", fmt::format("the pattern {} builds nothing", order.pattern), "let build place a piece",
                order.where);
  if (const Result<void> all = every_given_fixing_used(order, built.structure, bench); !all)
    return tl::make_unexpected(all.error());
  if (bench.asked_ground && !order.levels.empty())
    return fail("levels-unused",
                fmt::format("the pattern {} follows the ground by itself and cannot be given levels at its posts",
                            order.pattern),
                "measure the ground there and write it under [ground]", order.levels.front().where);
  const Result<void> slopes = stand_on_slope(
      built.structure, order.levels, bench.asked_ground ? GroundAt{} : bench.ground, bench.remarks, order.where);
  if (!slopes) return tl::make_unexpected(slopes.error());
  built.remarks = std::move(bench.remarks);
  if (!lent) return built;
  for (LentPost& post : bench.lent) note_asked(built.structure, post);
  *lent = std::move(bench.lent);
  return built;
}

Result<Built> build(const Job& job, const Order& order, const Shelves& shelves, int first_letter, int& next_letter,
                    std::set<std::string>* read) {
  Result<Built> built = build_unmarked(job, order, shelves, nullptr, {}, read);
  if (built) next_letter = assign_marks(built->structure, first_letter);
  return built;
}

std::vector<std::string> patterns_of(const Job& job) {
  std::set<std::string> names;
  for (const Order& order : job.orders) names.insert(order.pattern);
  return {names.begin(), names.end()};
}

std::vector<PatternInfo> list_patterns(const Shelves& shelves, const timber::Yard* yard, LengthStyle style,
                                       Diagnostics& problems) {
  return describe_patterns(names_on_shelf(shelves.patterns, ".lua"), shelves, yard, style, problems);
}

std::vector<PatternInfo> describe_patterns(const std::vector<std::string>& names, const Shelves& shelves,
                                           const timber::Yard* yard, LengthStyle style, Diagnostics& problems) {
  std::vector<PatternInfo> infos;
  for (const std::string& name : names) {
    const Result<ShelfFile> file = read_from_shelf(shelves.patterns, name, ".lua", "pattern");
    if (!file) {
      problems.insert(problems.end(), file.error().begin(), file.error().end());
      continue;
    }
    Job no_job;
    if (yard) no_job.yard.units = yard->units;
    const Order no_order;
    Structure nothing;
    Bench bench{&shelves, &no_job, &no_order, &nothing, {}, {}, false, {}};
    LuaBox box;
    open_bench(box, bench);
    PatternInfo info;
    const Result<void> ran = box.guarded([&](lua_State* lua) {
      load(lua, *file);
      const PatternSpec spec = read_pattern(lua, 1);
      info = {name, spec.title, spec.help, {}};
      for (const ChoiceSpec& choice : spec.choices) info.choices.push_back(describe(choice, yard, style));
    });
    if (ran)
      infos.push_back(std::move(info));
    else
      problems.insert(problems.end(), ran.error().begin(), ran.error().end());
  }
  return infos;
}

}  // namespace garthwright::pattern
