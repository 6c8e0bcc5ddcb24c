// SPDX-License-Identifier: Apache-2.0
//
// What a study of every choice of a job costs, in processor time: one build of it, and of each choice how often it was
// built, how many cutting problems were solved, and how long that took.
//
//   build/release/bench/plan_thrift JOB [builds N | CHOICE…]      (builds: N builds alone, for a profiler)
#include <fmt/format.h>

#include <cstdlib>
#include <ctime>
#include <fstream>
#include <iterator>
#include <string>

#include "plan/thrift.h"

namespace garthwright {
namespace {

const std::string kSource = GARTHWRIGHT_SOURCE_DIR;
const pattern::Shelves kShelves{{kSource + "/patterns"}, {kSource + "/catalogues"}};

double now_ms() {
  timespec t{};
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return static_cast<double>(t.tv_sec) * 1e3 + static_cast<double>(t.tv_nsec) * 1e-6;
}

double build_ms(const pattern::Job& job, int times) {
  const double from = now_ms();
  for (int i = 0; i < times; ++i)
    if (!pattern::build_all(job, kShelves)) return 0;
  return (now_ms() - from) / times;
}

int run(const std::string& file, std::vector<std::string> words) {
  std::ifstream in(file);
  const Result<pattern::Job> job =
      pattern::parse_job(std::string(std::istreambuf_iterator<char>(in), {}), file, kShelves);
  if (!job) return fmt::print("{}\n", to_string(job.error().front())), 1;
  if (words.size() == 2 && words.front() == "builds")
    return fmt::print("{:.3f} ms a build\n", build_ms(*job, std::atoi(words[1].c_str()))), 0;
  build_ms(*job, 1);
  const double each = build_ms(*job, 20), from = now_ms();
  const auto found = thrift(*job, kShelves, words);
  if (!found) return fmt::print("{}\n", to_string(found.error().front())), 1;
  const double all = now_ms() - from;
  int builds = 0;
  for (const ChoiceThrift& choice : *found) {
    builds += choice.found.builds;
    fmt::print("{:5} builds {:6} solves {:3} steps {:2} passed over  {}\n", choice.found.builds, choice.found.solves,
               choice.found.steps.size(), choice.found.passed_over, choice.choice);
  }
  fmt::print("{:.3f} ms a build; {} choices, {} builds, {:.0f} ms in all, of which builds {:.0f}\n", each,
             found->size(), builds, all, builds * each);
  return 0;
}

}  // namespace
}  // namespace garthwright

int main(int argc, char** argv) {
  if (argc < 2) return 2;
  return garthwright::run(argv[1], {argv + 2, argv + argc});
}
