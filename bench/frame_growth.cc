// SPDX-License-Identifier: Apache-2.0
// How the frame solver grows: pergolas of 30 to 4,000 members, factorised and solved for ten load cases, beside
// CalculiX (ccx, started as a program, its whole run: one case, one B32R brick to a member) on the same frame. The two
// do not do the same work: a brick has 20 nodes where a bar has two, and ccx reads and writes files. It is the
// yardstick of what one would use instead. Buckling and P-delta of the same pergolas follow.
#include <benchmark/benchmark.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>

#include "frame/calculix_deck_for_tests.h"
#include "frame/stability.h"

namespace garthwright::frame {
namespace {

using namespace testing;

/// Bays × bays of posts with beams both ways and rafters across, all joints rigid: about 10 members to a bay.
Frame pergola(int bays) {
  Frame frame;
  constexpr int kRafters = 3;
  std::vector<std::vector<NodeIndex>> top(bays + 1);
  for (int i = 0; i <= bays; ++i)
    for (int j = 0; j <= bays; ++j) {
      const NodeIndex foot = frame.nodes.size();
      frame.nodes.push_back({fmt::format("foot{}.{}", i, j), {3000.0 * i, 2500.0 * j, 0}});
      frame.nodes.push_back({fmt::format("top{}.{}", i, j), {3000.0 * i, 2500.0 * j, 2300}});
      top[i].push_back(foot + 1);
      frame.members.push_back(bar(fmt::format("post{}.{}", i, j), foot, foot + 1, 90, 90, {1, 0, 0}));
      frame.supports.push_back({foot, kFixed});
    }
  const auto join = [&](NodeIndex a, NodeIndex b, double depth) {
    frame.members.push_back(bar(fmt::format("M{}", frame.members.size()), a, b, 45, depth));
  };
  for (int i = 0; i <= bays; ++i)
    for (int j = 0; j < bays; ++j) join(top[i][j], top[i][j + 1], 145);
  for (int j = 0; j <= bays; ++j)
    for (int i = 0; i < bays; ++i) {
      NodeIndex from = top[i][j];
      for (int r = 1; r <= kRafters; ++r) {
        const Vec3 at = {3000.0 * i + 3000.0 * r / (kRafters + 1), 2500.0 * j, 2300};
        frame.nodes.push_back({fmt::format("N{}", frame.nodes.size()), at});
        const NodeIndex to = frame.nodes.size() - 1;
        join(from, to, 145);
        if (j > 0) join(to, to - bays * kRafters, 95);
        from = to;
      }
      join(from, top[i + 1][j], 145);
    }
  for (MemberIndex m = 0; m < frame.members.size(); ++m) frame.loads.on_members.push_back({m, {0.05, 0.02, -0.2}});
  return frame;
}

void Ours(benchmark::State& state) {
  const Frame frame = pergola(static_cast<int>(state.range(0)));
  for (auto _ : state) {
    const Solver solver = Solver::make(frame).value();
    for (int load_case = 0; load_case < 10; ++load_case) benchmark::DoNotOptimize(solver.solve(frame.loads).value());
  }
  state.counters["members"] = static_cast<double>(frame.members.size());
  state.SetComplexityN(static_cast<benchmark::IterationCount>(frame.members.size()));
}
BENCHMARK(Ours)->DenseRange(2, 6, 2)->Arg(10)->Arg(20)->Unit(benchmark::kMillisecond)->Complexity();

void Calculix(benchmark::State& state) {
  namespace fs = std::filesystem;
  if (std::system("command -v ccx > /dev/null 2>&1") != 0) {
    state.SkipWithError("ccx is not installed (Debian: calculix-ccx)");
    return;
  }
  const Frame frame = pergola(static_cast<int>(state.range(0)));
  std::string name = (fs::temp_directory_path() / "frame-bench-XXXXXX").string();
  const fs::path shop = mkdtemp(name.data());
  std::ofstream(shop / "f.inp") << calculix_deck(frame, 1);
  const std::string command = "cd '" + shop.string() + "' && OMP_NUM_THREADS=1 ccx -i f > log 2>&1";
  for (auto _ : state)
    if (std::system(command.c_str()) != 0) state.SkipWithError("ccx failed");
  fs::remove_all(shop);
  state.counters["members"] = static_cast<double>(frame.members.size());
}
BENCHMARK(Calculix)->DenseRange(2, 6, 2)->Arg(10)->Unit(benchmark::kMillisecond)->UseRealTime();

void Buckling(benchmark::State& state) {
  const Frame frame = pergola(static_cast<int>(state.range(0)));
  const Solver solver = Solver::make(frame).value();
  double factor = 0;
  for (auto _ : state) factor = critical_load(solver, frame.loads).value().critical_factor;
  state.counters["members"] = static_cast<double>(frame.members.size());
  state.counters["factor"] = factor;
}
BENCHMARK(Buckling)->Arg(2)->Arg(6)->Arg(10)->Unit(benchmark::kMillisecond);

void PDelta(benchmark::State& state) {
  const Frame frame = pergola(static_cast<int>(state.range(0)));
  const Solver solver = Solver::make(frame).value();
  for (auto _ : state) benchmark::DoNotOptimize(solve_p_delta(solver, frame.loads));
  state.counters["members"] = static_cast<double>(frame.members.size());
}
BENCHMARK(PDelta)->Arg(2)->Arg(6)->Arg(10)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace garthwright::frame

BENCHMARK_MAIN();
