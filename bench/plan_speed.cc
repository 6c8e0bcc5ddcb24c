// SPDX-License-Identifier: Apache-2.0
//
// How long a plan takes at every size, in processor time, one line a row: what bench/plan_table.py puts into its table.
// The least of several runs of each; `exponent` is the slope of log time over log pieces, from 34 pieces to 1,000.
//
//   build/release/bench/plan_speed [ROW]
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <ctime>
#include <fstream>
#include <functional>
#include <optional>
#include <sstream>

#include "buying/buying.h"
#include "pattern_jobs.h"

namespace garthwright {
namespace {

const std::string kSource = GARTHWRIGHT_SOURCE_DIR;
const pattern::Shelves kShelves{{kSource + "/patterns"}, {kSource + "/catalogues"}};

double now_ms() {
  timespec t{};
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return static_cast<double>(t.tv_sec) * 1e3 + static_cast<double>(t.tv_nsec) * 1e-6;
}

/// Least of as many runs as fit into a second, three at least, after one that warms up.
double least_ms(const std::function<void()>& run) {
  run();
  double least = 1e18, all = 0;
  for (int i = 0; i < 200 && (i < 3 || all < 1000); ++i) {
    const double from = now_ms();
    run();
    const double took = now_ms() - from;
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
  if (at != std::string::npos) job.replace(at, was.size(), "opening = " + std::to_string(opening));
  return job;
}

std::string pergola_text(int metres, int rafters, int purlins) {
  return fmt::format(
      "format = 1\n[timber]\ncatalogue = \"harrow-lane\"\n[[structure]]\npattern = \"pergola\"\n[structure.choices]\n"
      "length = {}\ndepth = 4000\nrafters = {}\npurlins = {}\n",
      metres * 1000, rafters, purlins);
}

pattern::Job job_of(const std::string& text) {
  auto job = pattern::parse_job(text, "bench.toml", kShelves);
  if (!job) throw std::runtime_error(to_string(job.error().front()));
  return std::move(*job);
}

std::size_t plan(const std::string& text, bool checks) {
  PlanOptions options;
  options.checks = checks;
  const Result<Plan> made = make_plan(job_of(text), kShelves, options);
  if (!made) throw std::runtime_error(to_string(made.error().front()));
  return made->structures.front().pieces.size();
}

void build_and_buy(const pattern::Job& job) {
  const auto built = pattern::build_all(job, kShelves);
  if (!built) throw std::runtime_error(to_string(built.error().front()));
  std::vector<Structure> structures;
  for (const pattern::Built& one : *built) structures.push_back(one.structure);
  buying::buy(structures, job.yard, job.saw);
}

const char* only = nullptr;  ///< the one row that is wanted; none: all

std::optional<double> row(const std::string& name, const std::string& job, const std::function<void()>& run) {
  if (only != nullptr && name != only) return std::nullopt;
  const double ms = least_ms(run);
  std::size_t pieces = 0;
  for (const pattern::Built& one : *pattern::build_all(job_of(job), kShelves)) pieces += one.structure.pieces.size();
  std::printf("%s\t%.3f\t%zu\n", name.c_str(), ms, pieces);
  std::fflush(stdout);
  return ms;
}

double slope(const std::vector<std::pair<double, double>>& points) {
  double x = 0, y = 0, xx = 0, xy = 0;
  for (const auto& [p, ms] : points) {
    const double a = std::log(p), b = std::log(ms);
    x += a, y += b, xx += a * a, xy += a * b;
  }
  const auto n = static_cast<double>(points.size());
  return (n * xy - x * y) / (n * xx - x * x);
}

std::size_t pieces_of(const std::string& text) {
  return pattern::build_all(job_of(text), kShelves)->front().structure.pieces.size();
}

void run() {
  const std::string arbor = arbor_text(1350), changed = arbor_text(1360);
  const pattern::Job job = job_of(arbor);
  bool other = false;
  row("arbor_plan", arbor, [&] { plan(arbor, false); });
  row("arbor_build_and_buy", arbor, [&] { build_and_buy(job); });
  row("arbor_changed", arbor, [&] { plan((other = !other) ? changed : arbor, false); });
  row("arbor_changed_checks", arbor, [&] { plan((other = !other) ? changed : arbor, true); });

  const struct {
    const char* name;
    int metres, rafters, purlins;
  } kPergolas[] = {{"pergola_32", 5, 12, 5},    {"pergola_52", 8, 20, 8},     {"pergola_122", 16, 40, 14},
                   {"pergola_300", 30, 75, 26}, {"pergola_670", 40, 160, 50}, {"pergola_1000", 40, 100, 94}};
  std::vector<std::pair<double, double>> sizes;
  for (const auto& [name, metres, rafters, purlins] : kPergolas) {
    const std::string text = pergola_text(metres, rafters, purlins);
    if (const auto ms = row(name, text, [&] { plan(text, false); }))
      sizes.emplace_back(static_cast<double>(pieces_of(text)), *ms);
  }
  if (sizes.size() > 1) std::printf("exponent\t%.3f\t0\n", slope(sizes));
  const std::string large = pergola_text(30, 75, 26), other_large = pergola_text(30, 75, 27);
  row("pergola_300_changed", large, [&] { plan((other = !other) ? other_large : large, false); });
  row("pergola_300_changed_checks", large, [&] { plan((other = !other) ? other_large : large, true); });
}

}  // namespace
}  // namespace garthwright

int main(int argc, char** argv) {
  if (argc > 1) garthwright::only = argv[1];
  try {
    garthwright::run();
  } catch (const std::exception& e) {
    std::fprintf(stderr, "%s\n", e.what());
    return 1;
  }
}
