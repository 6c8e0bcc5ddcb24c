// SPDX-License-Identifier: Apache-2.0
//
// From job text to Plan, without files: the arbor, and pergolas of growing size to show how it grows.
//
//   ./dev bench plan
#include <benchmark/benchmark.h>

#include "pattern_jobs.h"

namespace garthwright {
namespace {

void run(benchmark::State& state, const std::string& pattern, const std::string& choices) {
  std::size_t pieces = 0;
  for (auto _ : state) {
    const Result<Plan> plan = planned(pattern, choices);
    if (!plan) {
      state.SkipWithError(to_string(plan.error().front()).c_str());
      return;
    }
    pieces = plan->garden.structures[0].pieces.size();
  }
  state.counters["pieces"] = static_cast<double>(pieces);
  state.counters["per_piece"] = benchmark::Counter(
      static_cast<double>(pieces), benchmark::Counter::kIsIterationInvariantRate | benchmark::Counter::kInvert);
}

void arbor(benchmark::State& state) { run(state, "arbor", "opening = 1350"); }
BENCHMARK(arbor)->Unit(benchmark::kMillisecond)->MinTime(1);

/// About 40, 80, 160, 300 and 600 pieces.
void pergola(benchmark::State& state) { run(state, "pergola", pergola_choices(state.range(0), 12)); }
BENCHMARK(pergola)->Arg(4)->Arg(8)->Arg(16)->Arg(30)->Arg(40)->Unit(benchmark::kMillisecond)->MinTime(1);

}  // namespace
}  // namespace garthwright

BENCHMARK_MAIN();
