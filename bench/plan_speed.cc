// SPDX-License-Identifier: Apache-2.0
//
// How long a plan takes at every size, in processor time: what bench/plan_table.py puts into its table. One line a row:
// name, milliseconds, pieces, joints. The least of several runs of what is quick, one run of what takes seconds.
//
//   build/release/bench/plan_speed [ROW]
#include <algorithm>
#include <cstdio>
#include <ctime>
#include <fstream>
#include <functional>
#include <sstream>

#include "buying/buying.h"
#include "pattern_jobs.h"

namespace garthwright {
namespace {

const std::string kSource = GARTHWRIGHT_SOURCE_DIR;
const pattern::Shelves kShelves{{kSource + "/patterns"}, {kSource + "/catalogues"}};

constexpr double kOnceIsEnough = 3000;  // ms
constexpr double kSecond = 1000;        // ms: runs of one row are repeated for so long

double now_ms() {
  timespec t{};
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return static_cast<double>(t.tv_sec) * 1e3 + static_cast<double>(t.tv_nsec) * 1e-6;
}

double took_ms(const std::function<void()>& run) {
  const double from = now_ms();
  run();
  return now_ms() - from;
}

/// Least of as many runs as fit into a second, three at least, after one that warms up; of what takes seconds that one.
double least_ms(const std::function<void()>& run) {
  const double warming = took_ms(run);
  if (warming > kOnceIsEnough) return warming;
  double least = 1e18, all = 0;
  for (int i = 0; i < 200 && (i < 3 || all < kSecond); ++i) {
    const double took = took_ms(run);
    least = std::min(least, took), all += took;
  }
  return least;
}

std::string arbor_text(int opening) {
  std::ostringstream text;
  text << std::ifstream(kSource + "/examples/arbor.toml").rdbuf();
  std::string job = text.str();
  const std::string was = "opening = 1350";
  const auto at = job.find(was);
  if (at == std::string::npos) throw std::runtime_error("examples/arbor.toml has no \"" + was + "\"");
  return job.replace(at, was.size(), "opening = " + std::to_string(opening));
}

struct Size {
  const char* name;
  int metres, rafters, purlins;
};
constexpr Size kSizes[] = {{"pergola_32", 5, 12, 5},    {"pergola_52", 8, 20, 8},     {"pergola_122", 16, 40, 14},
                           {"pergola_300", 30, 75, 26}, {"pergola_670", 40, 160, 50}, {"pergola_1000", 40, 100, 94}};
constexpr Size kLarge = kSizes[3], kLargest = kSizes[5];

/// `more` is added to its height, for a choice that is changed.
std::string pergola_text(const Size& size, int more = 0) {
  return fmt::format(
      "format = 1\n[timber]\ncatalogue = \"harrow-lane\"\n[[structure]]\npattern = \"pergola\"\n[structure.choices]\n"
      "length = {}\ndepth = 4000\nrafters = {}\npurlins = {}\nheight = {}\n",
      size.metres * 1000, size.rafters, size.purlins, 2300 + more);
}

pattern::Job job_of(const std::string& text) {
  auto job = pattern::parse_job(text, "bench.toml", kShelves);
  if (!job) throw std::runtime_error(to_string(job.error().front()));
  return std::move(*job);
}

std::vector<pattern::Built> built(const pattern::Job& job) {
  auto all = pattern::build_all(job, kShelves);
  if (!all) throw std::runtime_error(to_string(all.error().front()));
  return std::move(*all);
}

void plan(const std::string& text, bool checks) {
  PlanOptions options;
  options.checks = checks;
  const Result<Plan> made = make_plan(job_of(text), kShelves, options);
  if (!made) throw std::runtime_error(to_string(made.error().front()));
}

void build_and_buy(const pattern::Job& job) {
  Garden garden;
  for (pattern::Built& one : built(job)) garden.structures.push_back(std::move(one.structure));
  buying::buy(garden, job.yard, job.saw);
}

struct Count {
  std::size_t pieces = 0, joints = 0;
};

Count count(const std::string& text) {
  Count all;
  for (const pattern::Built& one : built(job_of(text)))
    all.pieces += one.structure.pieces.size(), all.joints += one.structure.joints.size();
  return all;
}

const char* only = nullptr;  ///< the one row that is wanted; none: all

void row(const std::string& name, const std::string& job, const std::function<void()>& run) {
  if (only != nullptr && name != only) return;
  const double ms = least_ms(run);
  const Count of = count(job);
  std::printf("%s\t%.3f\t%zu\t%zu\n", name.c_str(), ms, of.pieces, of.joints);
  std::fflush(stdout);
}

void arbors() {
  const std::string arbor = arbor_text(1350);
  const pattern::Job job = job_of(arbor);
  int opening = 1350;
  // Never the same twice, so that nothing that was kept answers for another.
  const auto next = [&] { return arbor_text(opening = opening < 1500 ? opening + 1 : 1300); };
  row("arbor_plan", arbor, [&] { plan(arbor, false); });
  row("arbor_build_and_buy", arbor, [&] { build_and_buy(job); });
  row("arbor_changed", arbor, [&] { plan(next(), false); });
  row("arbor_checks", arbor, [&] { plan(arbor, true); });
  row("arbor_changed_checks", arbor, [&] { plan(next(), true); });
}

void pergolas() {
  for (const Size& size : kSizes) {
    const std::string text = pergola_text(size);
    row(size.name, text, [&] { plan(text, false); });
  }
  int more = 0;
  const auto next = [&] { return pergola_text(kLarge, more = (more + 1) % 90); };
  row("pergola_300_changed", pergola_text(kLarge), [&] { plan(next(), false); });
  row("pergola_300_changed_checks", pergola_text(kLarge), [&] { plan(next(), true); });
}

void orders() {
  const std::pair<const char*, Size> kRows[] = {{"order_300", kLarge}, {"order_1000", kLargest}};
  for (const auto& [name, size] : kRows) {
    if (only != nullptr && std::string(only) != name) continue;
    const std::string text = pergola_text(size);
    const Structure structure = built(job_of(text)).front().structure;
    const solid::Solids solids(structure);
    (void)solids.contacts();
    row(name, text, [&] {
      if (sequence::work_out(structure, solids).stages.empty()) throw std::runtime_error("no order was found");
    });
  }
}

}  // namespace
}  // namespace garthwright

int main(int argc, char** argv) {
  if (argc > 1) garthwright::only = argv[1];
  try {
    garthwright::arbors();
    garthwright::pergolas();
    garthwright::orders();
  } catch (const std::exception& e) {
    std::fprintf(stderr, "%s\n", e.what());
    return 1;
  }
}
