// SPDX-License-Identifier: Apache-2.0
// bench-links: gw_plan
//
// Loads, all combinations, frame and checks of a structure: the arbor, and pergolas of growing size. `bars` are the
// frame's members.
//
//   ./dev bench strength
#include <benchmark/benchmark.h>
#include <fmt/format.h>

#include "plan/plan.h"

namespace garthwright {
namespace {

const std::string kSource = GARTHWRIGHT_SOURCE_DIR;

void run(benchmark::State& state, const std::string& pattern, const std::string& choices) {
  const pattern::Shelves shelves{{kSource + "/patterns"}, {kSource + "/catalogues"}};
  const std::string text = fmt::format(
      "format = 1\n[timber]\ncatalogue = \"harrow-lane\"\n[[structure]]\npattern = \"{}\"\n[structure.choices]\n{}\n",
      pattern, choices);
  const auto job = pattern::parse_job(text, "bench.toml", shelves);
  const Result<Plan> plan = job ? make_plan(*job, shelves) : tl::make_unexpected(job.error());
  if (!plan) {
    state.SkipWithError(to_string(plan.error().front()).c_str());
    return;
  }
  const std::vector<Structure>& structures = plan->structures;
  std::vector<std::vector<strength::BaseSpring>> bases(1);
  for (const Footing& f : structures[0].footings) {
    const ground::GroundSprings s = ground::hole_spring(f, {});
    bases[0].push_back({s.shift, s.turn, s.depth_mm});
  }
  std::size_t rows = 0;
  for (auto _ : state) rows = strength::study(structures, {}, bases).checks.size();
  state.counters["pieces"] = static_cast<double>(structures[0].pieces.size());
  state.counters["bars"] = static_cast<double>(strength::model_of(structures[0], {}).frame.members.size());
  state.counters["rows"] = static_cast<double>(rows);
}

void arbor(benchmark::State& state) { run(state, "arbor", "opening = 1350"); }
BENCHMARK(arbor)->Unit(benchmark::kMillisecond)->MinTime(1);

void pergola(benchmark::State& state) {
  const auto metres = state.range(0);
  run(state, "pergola",
      fmt::format("length = {}\ndepth = 4000\nrafters = {}\npurlins = {}", metres * 1000, metres * 5 / 2, 6));
}
BENCHMARK(pergola)->Arg(4)->Arg(8)->Arg(16)->Arg(30)->Unit(benchmark::kMillisecond)->MinTime(1);

}  // namespace
}  // namespace garthwright

BENCHMARK_MAIN();
