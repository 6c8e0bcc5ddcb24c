// SPDX-License-Identifier: Apache-2.0
//
// The same cutting jobs, one after another, by this kernel and by general solvers of integer programmes, CBC, GLPK and
// (where npm has brought it, see tests/tools) HiGHS, on the arc-flow model of Valério de Carvalho (Annals of Operations
// Research 86, 1999): one graph over all reachable lengths, a way out at every length sold, variables whole. That is
// the strongest model one would write for them by hand. They read it as an LP file. Times are processor times: of the
// process for CBC and GLPK, reading included (a few milliseconds); of the solving alone for HiGHS, which comes as
// WebAssembly and takes longer to load.
//
//   cutting_side_by_side [--jobs N] [--seed S] [--limit-s S] [--sets DIR]
//
// With --sets also N instances, evenly spaced, of some academic sets in DIR.
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

void compare(const Row& row, const std::vector<Rival>& rivals, const std::string& folder, double limit) {
  const int jobs = static_cast<int>(row.problems.size());
  std::vector<double> own;
  std::vector<std::vector<double>> times(rivals.size());
  std::vector<int> proven(rivals.size(), 0);
  int own_proven = 0, disagree = 0;
  for (const Problem& problem : row.problems) {
    const double start = own_seconds();
    const Result result = solve(problem);
    own.push_back(own_seconds() - start);
    own_proven += result.optimal;
    write_arc_flow(problem, folder + "/model.lp");
    for (std::size_t r = 0; r < rivals.size(); ++r) {
      const Answer answer = rivals[r].solve(folder, limit);
      times[r].push_back(answer.seconds);
      proven[r] += answer.proven;
      if (answer.proven && result.optimal && std::abs(answer.cost - static_cast<double>(result.cost)) > 0.5) ++disagree;
    }
  }
  fmt::print("{:<22}{:>5}{:>11.2f} ms {:>3}", row.name, jobs, 1e3 * median(own), own_proven);
  double best = std::numeric_limits<double>::infinity();
  for (std::size_t r = 0; r < rivals.size(); ++r) {
    fmt::print("{:>11.1f} ms {:>3}", 1e3 * median(times[r]), proven[r]);
    if (proven[r] > 0) best = std::min(best, median(times[r]));
  }
  fmt::print("{:>8.0f}x {:>4}\n", best / median(own), disagree);
  std::fflush(stdout);
}

}  // namespace

int main(int argc, char** argv) {
  int jobs = 10;
  std::uint64_t seed = 1;
  double limit = 20;
  std::string sets;
  for (int i = 1; i + 1 < argc; i += 2) {
    const std::string arg = argv[i];
    if (arg == "--jobs") jobs = std::stoi(argv[i + 1]);
    if (arg == "--seed") seed = std::stoull(argv[i + 1]);
    if (arg == "--limit-s") limit = std::stod(argv[i + 1]);
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
    for (const char* set : {"falkenauer_u", "falkenauer_t", "scholl1", "scholl2", "schwerin1", "waescher", "random"}) {
      const std::vector<garthwright::bench::Case> cases = garthwright::bench::read_cases(sets + "/" + set + ".jsonl");
      rows.push_back({set, {}});
      for (int n = 0; n < jobs; ++n)
        rows.back().problems.push_back(cases[cases.size() * static_cast<std::size_t>(n) / jobs].problem);
    }

  const std::string folder =
      (std::filesystem::temp_directory_path() / fmt::format("garthwright_side_{}", getpid())).string();
  std::filesystem::create_directories(folder);
  fmt::print("median of all jobs, how many proven{:>10}", "");
  for (const Rival& rival : rivals) fmt::print("{:>18}", rival.name);
  fmt::print("  faster  differ\n");
  for (const Row& row : rows) compare(row, rivals, folder, limit);
  std::filesystem::remove_all(folder);
}
