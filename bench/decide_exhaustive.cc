// SPDX-License-Identifier: Apache-2.0
//
// Deciding beside exhaustive search: random small problems (a pattern, a site, three or four open choices), each solved
// by search() and by planning every combination whole, with the fixings that its forces ask for. Least costs must be
// the same, and the counts of the proof add up to the combinations. Then the arbor with eight open choices (a job
// file): time to the first that stands, and to the proof.
//
//   ./dev bench decide                       (or: build/release/bench/decide_exhaustive [PROBLEMS [SEED [PATTERN]]])
//
// Exits 1 where they differ.
#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <random>

#include "decide/decide.h"

namespace garthwright::decide {
namespace {

const std::string kSource = GARTHWRIGHT_SOURCE_DIR;
const pattern::Shelves kShelves{{kSource + "/patterns", kSource + "/tests/patterns"}, {kSource + "/catalogues"}};

/// Each combination by itself: nothing that was found of one is kept for another.
std::optional<Money> least_of_all(const pattern::Job& job, const std::vector<Open>& opens) {
  std::optional<Money> least;
  Combination at(opens.size(), 0);
  for (bool more = true; more;) {
    const Trials trials(job, kShelves, opens, {}, nullptr);
    Kept kept;
    if (const Priced priced = trials.price(at); !priced.refused()) {
      const Fixed up = trials.fix(priced, at, {}, kept);
      for (const Fixed& fixed : {up, up.failing ? up : trials.fix_least(priced, at, kept)}) {
        const Result<Plan> plan = trials.plan(at, fixed.fixings);
        if (plan && stands(*plan) && (!least || plan->purchase.total < *least)) least = plan->purchase.total;
      }
    }
    more = false;
    for (std::size_t i = opens.size(); i-- > 0 && !more;) {
      more = ++at[i] < opens[i].values.size();
      if (!more) at[i] = 0;
    }
  }
  return least;
}

/// A job that is invented by chance, of one pattern where that is named: mild sites, so that some stand.
std::string random_job(std::mt19937& random, const std::string& of) {
  const auto one_of = [&](std::vector<std::string> words) { return words[random() % words.size()]; };
  const auto between = [&](int low, int high, int step) {
    return low + static_cast<int>(random() % static_cast<unsigned>((high - low) / step + 1)) * step;
  };
  const std::string any = one_of({"masts", "masts", "arbor", "pergola"}), pattern = of.empty() ? any : of;
  std::vector<std::string> open{"post = [\"4x4\", \"5x5\", \"6x6\"]"};
  if (pattern == "masts") {
    open.insert(open.end(), {"in_ground = { from = 400, to = 1100, step = 100 }",
                             "hole = { from = 200, to = 400, step = 50 }", "masts = { from = 2, to = 4 }",
                             "stakes = true", "height = { from = 1600, to = 2000, step = 100 }", "quirk = true"});
  } else {
    open.insert(open.end(), {"in_ground = { from = 900, to = 1200, step = 100 }",
                             "hole_diameter = { from = 200, to = 300, step = 50 }", "brace_leg = [0, 400]"});
    if (pattern == "arbor") {
      open.insert(open.end(), {"rafters = { from = 3, to = 5 }", "height = [2000, 2100, 2200]"});
    } else {
      open.insert(open.end(), {"rafters = { from = 5, to = 7 }", "height = [2200, 2400]"});
    }
  }
  std::shuffle(open.begin(), open.end(), random);
  open.resize(3 + random() % 2);
  std::string lines;
  for (const std::string& line : open) lines += line + "\n";
  const std::string sizes = pattern == "arbor"     ? fmt::format("opening = {}", between(900, 1600, 100))
                            : pattern == "pergola" ? fmt::format("length = {}\ndepth = {}", between(2400, 3600, 300),
                                                                 between(2000, 2800, 200))
                                                   : std::string();
  return fmt::format(
      "format = 1\n[site]\nexposure = \"{}\"\nclimber = \"{}\"\nsoil = \"{}\"\nwind_speed = {}\n[timber]\ncatalogue = "
      "\"harrow-lane\"\n[[structure]]\npattern = \"{}\"\n[structure.choices]\n{}\n[structure.open]\n{}",
      one_of({"sheltered", "average"}), one_of({"none", "clematis", "honeysuckle"}),
      one_of({"sand", "stiff clay", "gravel"}), between(20, 26, 2), pattern, sizes, lines);
}

bool same_as_exhaustive(const std::string& text, int number) {
  const Result<pattern::Job> job = pattern::parse_job(text, "bench.toml", kShelves);
  const Result<std::vector<Open>> opens = job ? open_choices(*job, kShelves) : tl::make_unexpected(job.error());
  if (!opens) {
    fmt::print("{:3} not a job: {}\n", number, to_string(opens.error().front()));
    return false;
  }
  const Trials trials(*job, kShelves, *opens, {}, nullptr);
  const Found answer = search(trials, {.limit_s = 0});
  const std::optional<Money> least = least_of_all(*job, *opens);
  const bool same = least.has_value() == answer.best.has_value() && (!least || *least == answer.total);
  const bool adds_up = answer.proven && answer.counts.sum() == count(*opens);
  fmt::print(
      "{:3} {:8} {:>6} combinations: {:>9} decided, {:>9} by all; dearer {} refused {} do not stand {} + {} + {}; "
      "reckoned {}, "
      "{:.2f} s {}\n",
      number, job->orders.front().pattern, count(*opens),
      answer.best ? format_money(answer.total, job->yard.currency, true) : "none",
      least ? format_money(*least, job->yard.currency, true) : "none", answer.counts.dearer, answer.counts.refused,
      answer.counts.shape, answer.counts.alike, answer.counts.tried, answer.plans, answer.seconds,
      !same      ? "DIFFERS"
      : !adds_up ? "DOES NOT ADD UP"
                 : "");
  std::fflush(stdout);
  if (!same) fmt::print("{}\n", text);
  return same && adds_up;
}

/// Of a job file, with the time there is.
void timed(const std::string& file, double limit_s) {
  std::ifstream in(file);
  const std::string text((std::istreambuf_iterator<char>(in)), {});
  const Result<pattern::Job> job = pattern::parse_job(text, file, kShelves);
  if (!job) {
    fmt::print("{}\n", to_string(job.error().front()));
    return;
  }
  const Result<Answer> answer = decide(*job, kShelves, {.limit_s = limit_s});
  if (!answer) {
    fmt::print("{}\n", to_string(answer.error().front()));
    return;
  }
  fmt::print(
      "{}: {} combinations; {} {} (at least {}), first after {:.2f} s, {} after {:.1f} s; dearer {} refused {} do not "
      "stand {} + {} + {}; reckoned {}\n",
      file, answer->combinations, answer->stands ? "found" : "none", format_money(answer->total, job->yard.currency),
      format_money(answer->lower_bound, job->yard.currency), answer->first_s, answer->proven ? "proven" : "not proven",
      answer->seconds, answer->counts.dearer, answer->counts.refused, answer->counts.shape, answer->counts.alike,
      answer->counts.tried, answer->plans);
  for (const Settled& choice : answer->choices) fmt::print("  {} = {}\n", choice.name, choice.value);
}

}  // namespace
}  // namespace garthwright::decide

int main(int argc, char** argv) {
  using namespace garthwright::decide;
  if (argc > 1 && std::string(argv[1]).ends_with(".toml")) {
    timed(argv[1], argc > 2 ? std::atof(argv[2]) : 60);
    return 0;
  }
  const int problems = argc > 1 ? std::atoi(argv[1]) : 5;
  std::mt19937 random(argc > 2 ? static_cast<unsigned>(std::atoi(argv[2])) : 1);
  int wrong = 0;
  for (int i = 1; i <= problems; ++i) wrong += !same_as_exhaustive(random_job(random, argc > 3 ? argv[3] : ""), i);
  fmt::print("{} problems, {} differ from exhaustive search\n", problems, wrong);
  return wrong > 0;
}
