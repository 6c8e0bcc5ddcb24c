// SPDX-License-Identifier: Apache-2.0
// bench-links: gw_plan
//
// Loads, all combinations, frame and checks of a structure: the arbor, and pergolas of growing size. `bars` are the
// frame's members.
//
//   ./dev bench strength
#include <benchmark/benchmark.h>

#include "pattern_jobs.h"
#include "plan/standing.h"

namespace garthwright {
namespace {

void run(benchmark::State& state, const std::string& pattern, const std::string& choices) {
  const Result<Plan> plan = planned(pattern, choices);
  if (!plan) {
    state.SkipWithError(to_string(plan.error().front()).c_str());
    return;
  }
  const std::vector<Structure>& structures = plan->structures;
  const std::vector<std::vector<strength::BaseSpring>> bases{ground_under(structures[0], {})};
  std::size_t rows = 0;
  for (auto _ : state) rows = strength::study(structures, {}, bases).checks.size();
  state.counters["pieces"] = static_cast<double>(structures[0].pieces.size());
  state.counters["bars"] = static_cast<double>(strength::model_of(structures[0], {}).frame.members.size());
  state.counters["rows"] = static_cast<double>(rows);
}

void arbor(benchmark::State& state) { run(state, "arbor", "opening = 1350"); }
BENCHMARK(arbor)->Unit(benchmark::kMillisecond)->MinTime(1);

void pergola(benchmark::State& state) { run(state, "pergola", pergola_choices(state.range(0), 6)); }
BENCHMARK(pergola)->Arg(4)->Arg(8)->Arg(16)->Arg(30)->Unit(benchmark::kMillisecond)->MinTime(1);

}  // namespace
}  // namespace garthwright

BENCHMARK_MAIN();
