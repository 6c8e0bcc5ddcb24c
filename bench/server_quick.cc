// SPDX-License-Identifier: Apache-2.0
//
// What a drag costs: answers to /api/v1/quick for the example arbor with some of its sizes drawn at random, each asked
// once. Times are processor times of the one thread.
//
//   server_quick [--jobs N] [--seed S] [--most-ms M]     jobs that take longer than M ms (100) are printed
// bench-links: fmt::fmt

#include <fmt/core.h>
#include <time.h>

#include <algorithm>
#include <fstream>
#include <iterator>
#include <random>
#include <string>
#include <vector>

#include "server/answers.h"

namespace {

using namespace garthwright;

double cpu_ms() {
  timespec t{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
  return 1e3 * static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_nsec);
}

/// The example's job file up to its choices: those are drawn here.
std::string without_choices() {
  std::ifstream file(std::string(GARTHWRIGHT_SOURCE_DIR) + "/examples/arbor.toml");
  const std::string text{std::istreambuf_iterator<char>(file), {}};
  return text.substr(0, text.find("[structure.choices]"));
}

class Draw {
 public:
  explicit Draw(std::uint64_t seed) : engine_(seed) {}

  /// Whole millimetres; one job in eight has tenths everywhere.
  std::string choices() {
    tenths_ = engine_() % 8 == 0;
    std::string text = "[structure.choices]\npanel = \"trellis 1830x610\"\n";
    text += fmt::format("opening = {:g}\nheight = {:g}\n", length(700, 2600), length(2060, 3000));
    if (engine_() % 2) text += fmt::format("side_overhang = {:g}\n", length(0, 500));
    if (engine_() % 2) text += fmt::format("front_overhang = {:g}\n", length(0, 500));
    if (engine_() % 2) text += fmt::format("brace_leg = {:g}\n", length(200, 600));
    if (engine_() % 2) text += fmt::format("in_ground = {:g}\n", length(400, 900));
    if (engine_() % 2) text += fmt::format("rafters = {}\n", 2 + engine_() % 10);
    return text;
  }

 private:
  double length(int least, int most) {
    const double whole = least + static_cast<double>(engine_() % static_cast<unsigned>(most - least + 1));
    return tenths_ ? whole + 0.1 * static_cast<double>(engine_() % 10) : whole;
  }

  std::mt19937_64 engine_;
  bool tenths_ = false;
};

}  // namespace

int main(int argc, char** argv) {
  int jobs = 300;
  std::uint64_t seed = 1;
  double most_ms = 100;
  for (int i = 1; i + 1 < argc; i += 2) {
    const std::string arg = argv[i];
    if (arg == "--jobs") jobs = std::stoi(argv[i + 1]);
    if (arg == "--seed") seed = std::stoull(argv[i + 1]);
    if (arg == "--most-ms") most_ms = std::stod(argv[i + 1]);
  }
  const std::string source = GARTHWRIGHT_SOURCE_DIR;
  const server::Answers answers({{source + "/patterns"}, {source + "/catalogues"}});
  const std::string head = without_choices();
  const std::atomic<bool> cancel{false};
  Draw draw(seed);
  std::vector<double> took;
  int refused = 0;
  for (int n = 0; n < jobs; ++n) {
    const std::string choices = draw.choices();
    const double start = cpu_ms();
    const bool answered = answers.answer({"/api/v1/quick", {}, head + choices}, cancel).has_value();
    const double ms = cpu_ms() - start;
    if (!answered) ++refused;
    if (answered) took.push_back(ms);
    if (answered && ms > most_ms) fmt::print("{:.0f} ms: {}\n", ms, choices.substr(choices.find("opening")));
  }
  if (took.empty()) return 1;
  std::sort(took.begin(), took.end());
  const auto at = [&](double share) {
    return took[std::min(took.size() - 1, static_cast<std::size_t>(share * static_cast<double>(took.size())))];
  };
  const auto late = took.end() - std::upper_bound(took.begin(), took.end(), most_ms);
  fmt::print("{} answers ({} refused): p50 {:.1f} p90 {:.1f} p95 {:.1f} p99 {:.1f} most {:.1f} ms; {} over {:g} ms\n",
             took.size(), refused, at(0.5), at(0.9), at(0.95), at(0.99), took.back(), late, most_ms);
}
