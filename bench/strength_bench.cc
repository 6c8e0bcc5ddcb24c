// SPDX-License-Identifier: Apache-2.0
// bench-links: gw_plan
//
// Loads, every combination in every state of the garden, the frame fixing by fixing, and all checks of a structure:
// the shipped jobs, and pergolas of growing size. `bars`, `links` and `contacts` are the frame's; `solved` is how many
// load cases it was solved for. `stands` is the search for the wind at which the first thing gives, in every state.
//
//   ./dev bench strength
#include <benchmark/benchmark.h>

#include <fstream>
#include <sstream>

#include "pattern_jobs.h"
#include "plan/standing.h"
#include "plan/stands.h"

namespace garthwright {
namespace {

struct Planned {
  Garden garden;
  Site site;
};

Planned without_checks(const Result<Plan>& plan) {
  if (!plan) throw std::runtime_error(to_string(plan.error().front()));
  return {plan->garden, plan->site};
}

void count(benchmark::State& state, const Planned& of) {
  const Structure& s = of.garden.structures.front();
  const frame::Frame frame = strength::model_of(s, {}).frame;
  const auto all = [](std::size_t n) { return static_cast<double>(n); };
  state.counters["pieces"] = all(s.pieces.size());
  state.counters["bars"] = all(frame.members.size());
  state.counters["links"] = all(frame.links.size());
  state.counters["contacts"] = all(frame.contacts.size());
}

void study(benchmark::State& state, const Planned& of) {
  std::size_t rows = 0;
  for (auto _ : state) rows = standing(of.garden, of.site).strength.checks.size();
  count(state, of);
  if (const auto solved = frames_of(of.garden, of.site))
    state.counters["solved"] = static_cast<double>(solved->front().solutions.size());
  state.counters["rows"] = static_cast<double>(rows);
}

Planned job(const std::string& name) {
  const std::string source = GARTHWRIGHT_SOURCE_DIR;
  const pattern::Shelves shelves{{source + "/patterns"}, {source + "/catalogues"}};
  const std::string file = source + "/examples/" + name + ".toml";
  std::ostringstream text;
  text << std::ifstream(file).rdbuf();
  const auto job = pattern::parse_job(text.str(), file, shelves);
  if (!job) throw std::runtime_error(to_string(job.error().front()));
  return without_checks(make_plan(*job, shelves));
}

void shipped(benchmark::State& state, const std::string& name) { study(state, job(name)); }
BENCHMARK_CAPTURE(shipped, arbor, "arbor")->Unit(benchmark::kMillisecond)->MinTime(1);
BENCHMARK_CAPTURE(shipped, arbor_us, "arbor-us")->Unit(benchmark::kMillisecond)->MinTime(1);
BENCHMARK_CAPTURE(shipped, pergola_free, "pergola-free")->Unit(benchmark::kMillisecond)->MinTime(1);
BENCHMARK_CAPTURE(shipped, pergola_wall, "pergola-wall")->Unit(benchmark::kMillisecond)->MinTime(1);

void stands(benchmark::State& state, const std::string& name) {
  const Planned of = job(name);
  for (auto _ : state) benchmark::DoNotOptimize(stands_of(of.garden, of.site));
}
BENCHMARK_CAPTURE(stands, arbor, "arbor")->Unit(benchmark::kMillisecond)->MinTime(1);
BENCHMARK_CAPTURE(stands, pergola_free, "pergola-free")->Unit(benchmark::kMillisecond)->MinTime(1);
BENCHMARK_CAPTURE(stands, pergola_wall, "pergola-wall")->Unit(benchmark::kMillisecond)->MinTime(1);

void pergola(benchmark::State& state) {
  const Planned of = without_checks(planned("pergola", pergola_choices(state.range(0), 6, 5)));
  study(state, of);
  state.SetComplexityN(static_cast<benchmark::IterationCount>(of.garden.structures.front().pieces.size()));
}
BENCHMARK(pergola)->Arg(3)->Arg(6)->Arg(12)->Arg(24)->Arg(40)->Unit(benchmark::kMillisecond)->MinTime(1)->Complexity();

}  // namespace
}  // namespace garthwright

BENCHMARK_MAIN();
