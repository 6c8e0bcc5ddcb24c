// SPDX-License-Identifier: Apache-2.0
//
// Workshop jobs (see cutting_workshop_job.h): how many are proven, how fast, how good the first answer is. Times are
// processor times of the one thread.
//
//   cutting_workshop [--jobs N] [--seed S] [--limit-s S] [--each]
// bench-links: fmt::fmt

#include <fmt/core.h>
#include <time.h>

#include <algorithm>
#include <string>
#include <vector>

#include "cutting/cutting.h"
#include "cutting_workshop_job.h"

namespace {

using namespace garthwright::cutting;

// Processor time of this thread: what the work takes when nothing else runs on the machine.
double cpu_seconds() {
  timespec t{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
  return static_cast<double>(t.tv_sec) + 1e-9 * static_cast<double>(t.tv_nsec);
}

struct Tally {
  std::vector<double> ms;
  int proven = 0, wrong = 0, late = 0;
  double worst_early = 0;
};

double quantile(const std::vector<double>& sorted, double q) {
  return sorted[std::min(sorted.size() - 1, static_cast<std::size_t>(q * static_cast<double>(sorted.size())))];
}

void report(const std::string& name, Tally tally) {
  if (tally.ms.empty()) return;
  std::sort(tally.ms.begin(), tally.ms.end());
  fmt::print("{:<22}{:>7}/{:<6}{:>6}{:>10.2f}{:>10.2f}{:>10.2f}{:>10.1f}{:>14.3f}{:>8}\n", name, tally.proven,
             tally.ms.size(), tally.wrong, quantile(tally.ms, 0.5), quantile(tally.ms, 0.9), quantile(tally.ms, 0.99),
             tally.ms.back(), tally.worst_early * 100, tally.late);
}

}  // namespace

int main(int argc, char** argv) {
  int jobs = 500;
  std::uint64_t seed = 1;
  Options options;
  options.work_limit = std::int64_t{1} << 60;
  options.seconds_limit = 10;
  bool each = false;
  for (int i = 1; i < argc; ++i) {
    const std::string arg = argv[i];
    if (arg == "--jobs")
      jobs = std::stoi(argv[++i]);
    else if (arg == "--seed")
      seed = std::stoull(argv[++i]);
    else if (arg == "--limit-s")
      options.seconds_limit = std::stod(argv[++i]);
    else if (arg == "--each")
      each = true;
  }
  fmt::print("{:<22}{:>14}{:>6}{:>10}{:>10}{:>10}{:>10}{:>14}{:>8}\n", "jobs", "proven", "wrong", "median ms", "p90",
             "p99", "worst", "at 5 ms, % off", "> 0.5 %");
  for (const auto& [name, kind] :
       {std::pair{"one length", StockKind::one_length}, std::pair{"several lengths", StockKind::several},
        std::pair{"limits and off-cuts", StockKind::several_with_limits}}) {
    WorkshopJobs source(seed);
    Tally tally;
    const int count = kind == StockKind::one_length ? jobs : jobs / 2;
    for (int n = 0; n < count; ++n) {
      const Problem problem = source.next(kind);
      const double start = cpu_seconds();
      std::int64_t early = 0;  // the last plan known at 5 ms
      options.on_progress = [&](const Progress& p) {
        if (cpu_seconds() - start <= 0.005 || early == 0) early = p.cost;
      };
      const Result result = solve(problem, options);
      const double ms = (cpu_seconds() - start) * 1e3;
      tally.ms.push_back(ms);
      if (result.optimal) ++tally.proven;
      if (!faults(problem, result).empty()) ++tally.wrong;
      const double off =
          static_cast<double>(early - result.cost) / static_cast<double>(std::max<std::int64_t>(1, result.cost));
      tally.worst_early = std::max(tally.worst_early, off);
      if (off > 0.005) ++tally.late;
      if (each || !result.optimal)
        fmt::print("  {} {}: cost {} bound {} gap {:.4f}% nodes {} {:.1f} ms, {:.3f} % off at 5 ms\n", name, n,
                   result.cost, result.lower_bound, 100 * result.gap(), result.nodes, ms, 100 * off);
    }
    report(name, tally);
    std::fflush(stdout);
  }
}
