// SPDX-License-Identifier: Apache-2.0
//
// From job text to Plan, without files: the arbor, and pergolas of growing size to show how it grows.
//
//   ./dev bench plan
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
  std::size_t pieces = 0;
  for (auto _ : state) {
    const Result<pattern::Job> job = pattern::parse_job(text, "bench.toml", shelves);
    const Result<Plan> plan = job ? make_plan(*job, shelves) : tl::make_unexpected(job.error());
    if (!plan) {
      state.SkipWithError(to_string(plan.error().front()).c_str());
      return;
    }
    pieces = plan->structures[0].pieces.size();
  }
  state.counters["pieces"] = static_cast<double>(pieces);
  state.counters["per_piece"] = benchmark::Counter(
      static_cast<double>(pieces), benchmark::Counter::kIsIterationInvariantRate | benchmark::Counter::kInvert);
}

void arbor(benchmark::State& state) { run(state, "arbor", "opening = 1350"); }
BENCHMARK(arbor)->Unit(benchmark::kMillisecond)->MinTime(1);

/// About 40, 80, 160, 300 and 600 pieces.
void pergola(benchmark::State& state) {
  const auto metres = state.range(0);
  run(state, "pergola",
      fmt::format("length = {}\ndepth = 4000\nrafters = {}\npurlins = {}", metres * 1000, metres * 5 / 2, 12));
}
BENCHMARK(pergola)->Arg(4)->Arg(8)->Arg(16)->Arg(30)->Arg(40)->Unit(benchmark::kMillisecond)->MinTime(1);

}  // namespace
}  // namespace garthwright

BENCHMARK_MAIN();
