// SPDX-License-Identifier: Apache-2.0
//
// Academic sets of one-dimensional cutting and packing, solved one after another on one thread, or on two.
//
//   cutting_sets DIR [--limit-s S] [--work W] [--threads N] [--only TEXT] [--every N] [--each] FILE…
//
// DIR holds one file a set (cutting_cases.h). For each file: solved to proof, agreement with the published optimum,
// mean, median and worst processor time (with two threads: time by the clock). Beside them stand published mean times
// of the same set on their authors' machines: da Silva and Schouery, INFORMS J. Computing 2025
// (doi 10.1287/ijoc.2023.0399), averaged from the files of their archive. bench-links: fmt::fmt

#include <fmt/core.h>
#include <time.h>

#include <algorithm>
#include <map>
#include <string>
#include <vector>

#include "cutting/cutting.h"
#include "cutting_cases.h"

namespace {

using garthwright::bench::Case;
using garthwright::bench::read_cases;
using garthwright::cutting::Options;
using garthwright::cutting::Result;

// Processor time of this thread: what the work takes when nothing else runs on the machine.
double cpu_seconds() {
  timespec t{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
  return static_cast<double>(t.tv_sec) + 1e-9 * static_cast<double>(t.tv_nsec);
}

// Mean seconds as published (see the head of this file).
const std::map<std::string, std::string> kPublished = {
    {"falkenauer_u", "0.013"}, {"falkenauer_t", "0.100"}, {"scholl1", "0.006"}, {"scholl2", "0.069"},
    {"scholl3", "2.5"},        {"schwerin1", "0.014"},    {"waescher", "0.30"}, {"hard28", "7.0"},
    {"random", "0.049"},       {"ai_201", "0.41"},        {"ai_402", "6.0"},    {"ai_600", "46.2"},
    {"ai_801", "93.7"},        {"ani_201", "0.48"},       {"ani_402", "2.7"},   {"ani_600", "13.4"}};

}  // namespace

int main(int argc, char** argv) {
  std::string dir, only;
  std::vector<std::string> files;
  Options options;
  options.work_limit = std::int64_t{1} << 60;
  options.seconds_limit = 60;
  int every = 1;
  bool each = false;
  for (int i = 1; i < argc; ++i) {
    const std::string arg = argv[i];
    if (arg == "--limit-s")
      options.seconds_limit = std::stod(argv[++i]);
    else if (arg == "--work")
      options.work_limit = std::stoll(argv[++i]);
    else if (arg == "--threads")
      options.threads = std::stoi(argv[++i]);
    else if (arg == "--only")
      only = argv[++i];
    else if (arg == "--every")
      every = std::stoi(argv[++i]);
    else if (arg == "--each")
      each = true;
    else if (dir.empty())
      dir = arg;
    else
      files.push_back(arg);
  }
  fmt::print("{:<24}{:>7}{:>7}{:>7}{:>11}{:>11}{:>11}{:>12}\n", "set", "solved", "total", "wrong", "mean ms",
             "median ms", "worst ms", "published s");
  for (const std::string& file : files) {
    std::vector<double> ms;
    int solved = 0, wrong = 0, total = 0, index = 0;
    for (const Case& c : read_cases(dir + "/" + file + ".jsonl")) {
      if (index++ % every != 0) continue;
      if (!only.empty() && c.name.find(only) == std::string::npos) continue;
      ++total;
      const double start = cpu_seconds();
      const Result result = solve(c.problem, options);
      ms.push_back((options.threads > 1 ? result.seconds : cpu_seconds() - start) * 1e3);
      // Some random instances have too few bars: that is an answer too, where it is proven.
      if (result.verdict == garthwright::cutting::Verdict::infeasible && c.optimum < 0) {
        ++solved;
        if (each) fmt::print("  infeasible {} {:.1f} ms\n", c.name, ms.back());
        continue;
      }
      const std::vector<std::string> bad = faults(c.problem, result);
      const bool differs = c.optimum >= 0 && ((result.optimal && result.cost != c.optimum) || result.cost < c.optimum ||
                                              result.lower_bound > c.optimum);
      if (!bad.empty() || differs) {
        ++wrong;
        fmt::print("  WRONG {}: cost {} bound {} published {} {}\n", c.name, result.cost, result.lower_bound, c.optimum,
                   bad.empty() ? "" : bad.front());
      }
      if (result.optimal) ++solved;
      if (each || !result.optimal)
        fmt::print("  {} {}: cost {} bound {} known {} gap {:.4f}% nodes {} work {:.0f}M {:.1f} ms\n",
                   result.optimal ? "solved" : "open", c.name, result.cost, result.lower_bound, c.optimum,
                   100 * result.gap(), result.nodes, static_cast<double>(result.work) / 1e6, ms.back());
      std::fflush(stdout);
    }
    if (ms.empty()) continue;
    std::sort(ms.begin(), ms.end());
    double sum = 0;
    for (double t : ms) sum += t;
    const auto published = kPublished.find(file);
    fmt::print("{:<24}{:>7}{:>7}{:>7}{:>11.2f}{:>11.2f}{:>11.2f}{:>12}\n", file, solved, total, wrong,
               sum / static_cast<double>(ms.size()), ms[ms.size() / 2], ms.back(),
               published == kPublished.end() ? "-" : published->second);
    std::fflush(stdout);
  }
}
