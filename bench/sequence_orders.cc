// SPDX-License-Identifier: Apache-2.0
//
// Orders of work: effort beside two plain baselines on every example (bottom-up by height; a random feasible order, the
// mean of twenty), each judged by the verifier; then time, and how it grows with the number of pieces.
//
//   ./dev bench sequence
//
// bench-links: gw_pattern
#include <benchmark/benchmark.h>
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <functional>
#include <memory>
#include <random>
#include <sstream>

#include "pattern/job.h"
#include "sequence/effort.h"
#include "sequence/order.h"
#include "sequence/sequence.h"
#include "sequence/verifier.h"

namespace garthwright::sequence {
namespace {

const std::string kSource = GARTHWRIGHT_SOURCE_DIR;

std::unique_ptr<Structure> built(const std::string& text) {
  const pattern::Shelves shelves{{kSource + "/patterns"}, {kSource + "/catalogues"}};
  const Result<pattern::Job> job = pattern::parse_job(text, "bench.toml", shelves);
  if (!job) return nullptr;
  int next = 0;
  Result<pattern::Built> made = pattern::build(*job, job->orders.front(), shelves, 0, next);
  return made ? std::make_unique<Structure>(std::move(made->structure)) : nullptr;
}

/// Everything loose, one line-up of the same partial order: `next` picks among the items that are ready.
std::vector<Stage> line_up(const Kit& kit, const Tables& tables, const Rates& rates,
                           const std::function<std::size_t(const std::vector<int>&)>& next) {
  const Structure& s = *kit.structure;
  const auto at = [](int i) { return static_cast<std::size_t>(i); };
  Problem problem;
  for (int b = 0; b < kit.count(); ++b) {
    Item item{{b}, PieceSet(kit.count()), -1, kit.footing[at(b)] >= 0 || kit.on_wall[at(b)] != 0};
    item.set.insert(b);
    problem.items.push_back(std::move(item));
  }
  for (std::size_t f = 0; f < s.fixings.size(); ++f) problem.fixings.push_back(static_cast<int>(f));
  const Order order = find_order(kit, tables, problem);
  if (!order.found()) return {};
  std::vector<Stage> stages(2);
  for (std::size_t i = 0; i < s.pieces.size(); ++i) stages[0].steps.push_back(Prepare{PieceId{static_cast<int>(i)}});
  for (std::size_t f = 0; f < s.footings.size(); ++f) stages[1].steps.push_back(Dig{static_cast<int>(f)});
  std::vector<char> there(problem.items.size(), 0), open(problem.fixings.size(), 1);
  std::vector<std::vector<Body>> struts, rests;
  std::size_t posts = s.footings.size();
  std::string last;
  for (std::size_t n = 0; n < there.size(); ++n) {
    std::vector<int> ready;
    for (std::size_t i = 0; i < there.size(); ++i) {
      const auto& before = order.before[i];
      // Posts first: nothing may load them before the concrete has set, and one pouring is the least there can be.
      const bool may = posts > 0 ? kit.footing[i] >= 0 : true;
      if (!there[i] && may && std::all_of(before.begin(), before.end(), [&](int j) { return there[at(j)] != 0; }))
        ready.push_back(static_cast<int>(i));
    }
    if (ready.empty()) return {};
    const int i = ready[next(ready)];
    const Body body = kit.bodies[at(i)];
    const std::string noun = body.kind == Body::Kind::piece ? s[PieceId{body.index}].name : "panel";
    if (noun != last) stages.emplace_back();
    last = noun;
    auto& steps = stages.back().steps;
    const Lift lift = lift_to_site(kit, {i}, rates, 2);
    steps.push_back(Bring{{body}, -1, kSite, order.way_in[at(i)], lift.kg, lift.share, lift.hands_mm, lift.people});
    there[at(i)] = 1;
    if (kit.footing[at(i)] >= 0) {
      steps.push_back(Prop{{body}});
      struts.push_back({body});
    }
    bool held = kit.footing[at(i)] >= 0;
    for (std::size_t f = 0; f < open.size(); ++f) {
      if (!open[f] || !std::all_of(kit.chain[f].begin(), kit.chain[f].end(), [&](int b) { return there[at(b)] != 0; }))
        continue;
      steps.push_back(Drive{static_cast<int>(f), std::string(kit.tool_of[at(order.fastener[f])]->name)});
      open[f] = 0;
      held = held || kit.joined[f].has(i);
    }
    if (!held) {
      steps.push_back(Prop{{body}});
      rests.push_back({body});
    }
    if (kit.footing[at(i)] < 0 || --posts > 0) continue;
    std::vector<Body> standing;
    for (const auto& list : struts) standing.push_back(list.front());
    for (std::size_t k = 0; k < standing.size(); ++k) steps.push_back(Plumb{{standing[k]}});
    stages.emplace_back();
    for (std::size_t f = 0; f < s.footings.size(); ++f) stages.back().steps.push_back(Fill{static_cast<int>(f)});
    stages.back().steps.push_back(Wait{rates.setting_h});
    last.clear();
  }
  stages.emplace_back();
  for (const auto& list : {rests, struts})
    for (const auto& bodies : list) stages.back().steps.push_back(Unprop{bodies});
  return stages;
}

struct Weighed {
  double effort = 0;
  bool right = false;
};

Weighed judged(const Kit& kit, const solid::Solids& solids, const std::vector<Stage>& stages, const Rates& rates) {
  return {weigh(kit, stages, rates, false).minutes, verify(*kit.structure, solids, stages, rates, {2}).accepted()};
}

void print_table() {
  fmt::print("{:<16}{:>7}{:>10}{:>12}{:>12}{:>12}{:>10}\n", "effort, min", "pieces", "ours", "bound", "by height",
             "random", "our gap");
  std::vector<std::filesystem::path> jobs;
  for (const auto& entry : std::filesystem::directory_iterator(kSource + "/examples")) jobs.push_back(entry.path());
  std::sort(jobs.begin(), jobs.end());
  for (const auto& path : jobs) {
    std::stringstream text;
    text << std::ifstream(path).rdbuf();
    const auto structure = built(text.str());
    if (!structure) continue;
    const solid::Solids solids(*structure);
    const Rates rates;
    const Report ours = work_out(*structure, solids);
    const Kit kit = make_kit(*structure, solids, false);
    const Tables tables(kit);
    const auto height = [&](int b) { return kit.box[static_cast<std::size_t>(b)].centre().z; };
    const auto lowest = [&](const std::vector<int>& ready) {
      return static_cast<std::size_t>(
          std::min_element(ready.begin(), ready.end(), [&](int a, int b) { return height(a) < height(b); }) -
          ready.begin());
    };
    const Weighed low = judged(kit, solids, line_up(kit, tables, rates, lowest), rates);
    std::mt19937 engine(7);
    Weighed random{0, true};
    constexpr int kRuns = 20;
    for (int i = 0; i < kRuns; ++i) {
      const Weighed one = judged(
          kit, solids,
          line_up(kit, tables, rates, [&](const std::vector<int>& ready) { return engine() % ready.size(); }), rates);
      random.effort += one.effort / kRuns;
      random.right = random.right && one.right;
    }
    fmt::print("{:<16}{:>7}{:>10.0f}{:>12.0f}{:>11.0f}{}{:>11.0f}{}{:>9.1f}%\n", path.stem().string(),
               structure->pieces.size(), ours.effort, ours.least_effort, low.effort, low.right ? " " : "!",
               random.effort, random.right ? " " : "!", 100 * (ours.effort / ours.least_effort - 1));
  }
  fmt::print("(! : not accepted by the verifier)\n\n");
}

void order_of(benchmark::State& state, const std::string& pattern, const std::string& choices) {
  const auto structure = built(fmt::format(
      "format = 1\n[timber]\ncatalogue = \"harrow-lane\"\n[[structure]]\npattern = \"{}\"\n[structure.choices]\n{}\n",
      pattern, choices));
  const solid::Solids solids(*structure);
  (void)solids.contacts();
  for (auto _ : state) {
    const Report r = work_out(*structure, solids);
    if (r.stages.empty()) state.SkipWithError("no order");
  }
  state.counters["pieces"] = static_cast<double>(structure->pieces.size());
  state.counters["fixings"] = static_cast<double>(structure->fixings.size());
}

void arbor(benchmark::State& state) {
  order_of(state, "arbor", "opening = 1350\nheight = 2200\npanel = \"trellis 1830x610\"");
}
BENCHMARK(arbor)->Unit(benchmark::kMillisecond);

void pergola(benchmark::State& state) {
  const auto metres = state.range(0);
  order_of(state, "pergola",
           fmt::format("length = {}\ndepth = 4000\nrafters = {}\npurlins = 12", metres * 1000, metres * 5 / 2));
}
BENCHMARK(pergola)->Arg(4)->Arg(8)->Arg(16)->Arg(30)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace garthwright::sequence

int main(int argc, char** argv) {
  garthwright::sequence::print_table();
  benchmark::Initialize(&argc, argv);
  benchmark::RunSpecifiedBenchmarks();
}
