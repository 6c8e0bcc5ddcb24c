// SPDX-License-Identifier: Apache-2.0
//
// The same cutting jobs, one after another, by this kernel and by general solvers of integer programmes, CBC, GLPK and
// (where npm has brought it, see tests/tools) HiGHS, on the arc-flow model of Valério de Carvalho (Annals of Operations
// Research 86, 1999): one graph over all reachable lengths, a way out at every length sold, variables whole. That is
// the strongest model one would write for them by hand. They read it as an LP file. Times are processor times: of the
// process for CBC and GLPK, start and reading included; of the solving alone for HiGHS, which comes as WebAssembly and
// takes longer to load; of the call for this kernel, each job once, a row's jobs one after another. What a model of one
// variable takes is measured in the same run: that much is start.
//
// "Faster" is told three ways: the best other's median over this kernel's; the median over jobs of (best other's time /
// this kernel's time), of the jobs that both proved; the same with the others' start taken off.
//
//   cutting_side_by_side [--jobs N] [--seed S] [--limit-s S] [--sets DIR] [--of-set N] [--only TEXT]
//
// With --sets also --of-set instances, evenly spaced, of some academic sets in DIR; --jobs 0 leaves the workshop out,
// --only all rows without the text in their name.
//
// bench-links: fmt::fmt

#include <fmt/core.h>
#include <sys/resource.h>
#include <time.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <limits>
#include <map>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "cutting/cutting.h"
#include "cutting_cases.h"
#include "cutting_workshop_job.h"

namespace {

using namespace garthwright::cutting;

double own_seconds() {
  timespec t{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
  return static_cast<double>(t.tv_sec) + 1e-9 * static_cast<double>(t.tv_nsec);
}

double child_seconds() {
  rusage usage{};
  getrusage(RUSAGE_CHILDREN, &usage);
  const auto s = [](const timeval& t) { return static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_usec); };
  return s(usage.ru_utime) + s(usage.ru_stime);
}

// Arc flow in the CPLEX LP format. Lengths with the kerf folded in; pieces longest first along every path.
void write_arc_flow(const Problem& problem, const std::string& path) {
  std::vector<Piece> pieces = problem.pieces;
  std::sort(pieces.begin(), pieces.end(), [](const Piece& a, const Piece& b) { return a.length > b.length; });
  std::vector<std::int64_t> room;
  std::int64_t longest = 0;
  for (const Stock& stock : problem.stock) {
    room.push_back(stock.length - (stock.off_cut ? 0 : problem.trim) + problem.kerf);
    longest = std::max(longest, room.back());
  }
  // Arcs (from, to) of each piece; a piece starts at a length that longer ones (and itself, as often as wanted) reach.
  std::map<std::int64_t, std::set<std::int64_t>> loss;
  std::set<std::int64_t> nodes{0};
  std::vector<std::set<std::int64_t>> starts(pieces.size());
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    const std::int64_t w = pieces[i].length + problem.kerf;
    const std::set<std::int64_t> before = nodes;
    for (std::int64_t at : before)
      for (std::int64_t n = 0; n < pieces[i].quantity && at + w * (n + 1) <= longest; ++n) {
        starts[i].insert(at + w * n);
        nodes.insert(at + w * (n + 1));
      }
  }
  for (std::int64_t r : room) nodes.insert(r);
  std::map<std::int64_t, std::string> flow;  // balance of each node
  std::ofstream out(path);
  out << "Minimize\n obj:";
  for (std::size_t k = 0; k < problem.stock.size(); ++k) out << " + " << problem.stock[k].cost << " z" << k;
  out << "\nSubject To\n";
  std::vector<std::string> names;
  std::vector<std::string> demand(pieces.size());
  int terms = 0;
  const auto add = [&](std::string& row, const std::string& term) {
    row += term;
    if (++terms % 12 == 0) row += "\n ";
  };
  for (std::size_t i = 0; i < pieces.size(); ++i)
    for (std::int64_t at : starts[i]) {
      const std::string name = fmt::format("x{}_{}", at, i);
      names.push_back(name);
      add(flow[at], " - " + name);
      add(flow[at + pieces[i].length + problem.kerf], " + " + name);
      add(demand[i], " + " + name);
    }
  for (auto at = nodes.begin(); std::next(at) != nodes.end(); ++at) {
    const std::string name = fmt::format("l{}", *at);
    names.push_back(name);
    add(flow[*at], " - " + name);
    add(flow[*std::next(at)], " + " + name);
  }
  for (std::size_t k = 0; k < problem.stock.size(); ++k) {
    add(flow[0], fmt::format(" + z{}", k));
    add(flow[room[k]], fmt::format(" - z{}", k));
    names.push_back(fmt::format("z{}", k));
  }
  for (const auto& [node, row] : flow) out << " n" << node << ":" << row << " = 0\n";
  for (std::size_t i = 0; i < pieces.size(); ++i)
    out << " d" << i << ":" << demand[i] << " >= " << pieces[i].quantity << "\n";
  out << "Bounds\n";
  for (std::size_t k = 0; k < problem.stock.size(); ++k)
    if (problem.stock[k].limit) out << " z" << k << " <= " << *problem.stock[k].limit << "\n";
  out << "Generals\n";
  for (std::size_t n = 0; n < names.size(); ++n) out << " " << names[n] << (n % 12 == 11 ? "\n" : "");
  out << "\nEnd\n";
}

struct Answer {
  double seconds = 0;
  bool proven = false;
  double cost = -1;
};

std::string contents(const std::string& path) {
  std::ifstream in(path);
  std::stringstream text;
  text << in.rdbuf();
  return text.str();
}

Answer by_cbc(const std::string& folder, double limit) {
  Answer answer;
  const double start = child_seconds();
  const std::string command =
      fmt::format("cbc {0}/model.lp -sec {1} -timeMode cpu -ratio 0 -solve -solution {0}/cbc.txt > {0}/cbc.log 2>&1",
                  folder, limit);
  if (std::system(command.c_str()) != 0) return answer;
  answer.seconds = child_seconds() - start;
  const std::string text = contents(folder + "/cbc.txt");
  answer.proven = text.rfind("Optimal", 0) == 0;
  const auto at = text.find("objective value");
  if (at != std::string::npos) answer.cost = std::strtod(text.c_str() + at + 15, nullptr);
  return answer;
}

Answer by_glpk(const std::string& folder, double limit) {
  Answer answer;
  const double start = child_seconds();
  const std::string command =
      fmt::format("glpsol --lp {0}/model.lp --cuts --tmlim {1} -o {0}/glpk.txt > {0}/glpk.log 2>&1", folder,
                  static_cast<int>(limit));
  if (std::system(command.c_str()) != 0) return answer;
  answer.seconds = child_seconds() - start;
  const std::string text = contents(folder + "/glpk.txt");
  answer.proven = text.find("INTEGER OPTIMAL") != std::string::npos;
  const auto at = text.find("obj = ");
  if (at != std::string::npos) answer.cost = std::strtod(text.c_str() + at + 6, nullptr);
  return answer;
}

Answer by_highs(const std::string& folder, double limit) {
  Answer answer;
  const std::string tools = std::string(GARTHWRIGHT_SOURCE_DIR) + "/tests/tools";
  const std::string command =
      fmt::format("node {0}/solve_highs.mjs {1}/model.lp {2} > {1}/highs.json 2> {1}/highs.log", tools, folder, limit);
  if (std::system(command.c_str()) != 0) return answer;
  const auto json = nlohmann::json::parse(contents(folder + "/highs.json"));
  answer.seconds = json["seconds"];
  answer.proven = json["status"] == "Optimal";
  if (json["objective"].is_number()) answer.cost = json["objective"];
  return answer;
}

bool highs_is_here() {
  return std::filesystem::exists(std::string(GARTHWRIGHT_SOURCE_DIR) + "/tests/tools/node_modules/highs") &&
         std::system("node --version > /dev/null 2>&1") == 0;
}

struct Rival {
  std::string name;
  Answer (*solve)(const std::string& folder, double limit);
};

double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return values.empty() ? 0 : values[values.size() / 2];
}

struct Row {
  std::string name;
  std::vector<Problem> problems;
};

// Of the jobs that this kernel and another proved: the best other's time over this kernel's, with and without start.
struct Ratios {
  std::vector<double> whole, less_start;

  void print() const { fmt::print("{:>8.0f}x{:>8.0f}x {:>3}", median(whole), median(less_start), whole.size()); }
};

// Median processor time of a model of one variable.
double start_seconds(const Rival& rival, const std::string& folder) {
  std::ofstream(folder + "/model.lp") << "Minimize\n obj: x\nSubject To\n c: x >= 1\nGenerals\n x\nEnd\n";
  std::vector<double> times;
  for (int n = 0; n < 9; ++n) times.push_back(rival.solve(folder, 10).seconds);
  return median(times);
}

Ratios compare(const Row& row, const std::vector<Rival>& rivals, const std::vector<double>& starts,
               const std::string& folder, double limit) {
  Ratios ratios;
  const int jobs = static_cast<int>(row.problems.size());
  std::vector<double> own;
  std::vector<std::vector<double>> times(rivals.size());
  std::vector<int> proven(rivals.size(), 0);
  int own_proven = 0, disagree = 0;
  std::vector<Result> results;
  for (const Problem& problem : row.problems) {
    const double start = own_seconds();
    results.push_back(solve(problem));
    own.push_back(own_seconds() - start);
    own_proven += results.back().optimal;
  }
  for (std::size_t n = 0; n < row.problems.size(); ++n) {
    const Result& result = results[n];
    write_arc_flow(row.problems[n], folder + "/model.lp");
    double least = std::numeric_limits<double>::infinity(), least_less_start = least;
    for (std::size_t r = 0; r < rivals.size(); ++r) {
      const Answer answer = rivals[r].solve(folder, limit);
      if (answer.proven) {
        least = std::min(least, answer.seconds);
        least_less_start = std::min(least_less_start, std::max(0.0, answer.seconds - starts[r]));
      }
      times[r].push_back(answer.seconds);
      proven[r] += answer.proven;
      if (answer.proven && result.optimal && std::abs(answer.cost - static_cast<double>(result.cost)) > 0.5) {
        ++disagree;
        fmt::print(stderr, "{} {}: {} by {}, {} here\n", row.name, n, answer.cost, rivals[r].name, result.cost);
      }
    }
    if (!result.optimal || least == std::numeric_limits<double>::infinity()) continue;
    ratios.whole.push_back(least / own[n]);
    ratios.less_start.push_back(least_less_start / own[n]);
  }
  fmt::print("{:<22}{:>5}{:>11.2f} ms {:>3}", row.name, jobs, 1e3 * median(own), own_proven);
  double best = std::numeric_limits<double>::infinity();
  for (std::size_t r = 0; r < rivals.size(); ++r) {
    fmt::print("{:>11.1f} ms {:>3}", 1e3 * median(times[r]), proven[r]);
    if (proven[r] > 0) best = std::min(best, median(times[r]));
  }
  fmt::print("{:>8.0f}x", best / median(own));
  ratios.print();
  fmt::print(" {:>6}\n", disagree);
  std::fflush(stdout);
  return ratios;
}

}  // namespace

int main(int argc, char** argv) {
  int jobs = 10, of_set = 5;
  std::uint64_t seed = 1;
  double limit = 20;
  std::string sets, only;
  for (int i = 1; i + 1 < argc; i += 2) {
    const std::string arg = argv[i];
    if (arg == "--jobs") jobs = std::stoi(argv[i + 1]);
    if (arg == "--seed") seed = std::stoull(argv[i + 1]);
    if (arg == "--limit-s") limit = std::stod(argv[i + 1]);
    if (arg == "--of-set") of_set = std::stoi(argv[i + 1]);
    if (arg == "--only") only = argv[i + 1];
    if (arg == "--sets") sets = argv[i + 1];
  }
  std::vector<Rival> rivals{{"CBC", by_cbc}, {"GLPK", by_glpk}};
  if (highs_is_here()) rivals.push_back({"HiGHS", by_highs});

  std::vector<Row> rows;
  for (const auto& [name, kind] :
       {std::pair{"one length", StockKind::one_length}, std::pair{"several lengths", StockKind::several},
        std::pair{"limits and off-cuts", StockKind::several_with_limits}}) {
    WorkshopJobs source(seed);
    rows.push_back({name, {}});
    for (int n = 0; n < jobs; ++n) rows.back().problems.push_back(source.next(kind));
  }
  if (!sets.empty())
    for (const char* set :
         {"falkenauer_u", "falkenauer_t", "scholl1", "scholl2", "schwerin1", "waescher", "random", "hard28"}) {
      const std::vector<garthwright::bench::Case> cases = garthwright::bench::read_cases(sets + "/" + set + ".jsonl");
      rows.push_back({set, {}});
      for (int n = 0; n < of_set; ++n)
        rows.back().problems.push_back(cases[cases.size() * static_cast<std::size_t>(n) / of_set].problem);
    }

  const std::string folder =
      (std::filesystem::temp_directory_path() / fmt::format("garthwright_side_{}", getpid())).string();
  std::filesystem::create_directories(folder);
  std::vector<double> starts;
  for (const Rival& rival : rivals) {
    starts.push_back(start_seconds(rival, folder));
    fmt::print("start of {}: {:.1f} ms\n", rival.name, 1e3 * starts.back());
  }
  fmt::print("median of all jobs, how many proven{:>10}", "");
  for (const Rival& rival : rivals) fmt::print("{:>18}", rival.name);
  fmt::print(" medians   by job  less start   differ\n");
  Ratios all;
  for (const Row& row : rows) {
    if (row.problems.empty() || row.name.find(only) == std::string::npos) continue;
    const Ratios ratios = compare(row, rivals, starts, folder, limit);
    all.whole.insert(all.whole.end(), ratios.whole.begin(), ratios.whole.end());
    all.less_start.insert(all.less_start.end(), ratios.less_start.begin(), ratios.less_start.end());
  }
  fmt::print("all jobs that both proved: ");
  all.print();
  fmt::print("\n");
  std::filesystem::remove_all(folder);
}
