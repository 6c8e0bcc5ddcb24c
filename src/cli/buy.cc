// SPDX-License-Identifier: Apache-2.0

#include <atomic>
#include <csignal>
#include <cstdio>
#include <limits>
#include <memory>
#include <thread>

#include "buying/bundles.h"
#include "cli/command.h"
#include "exchange/cut_list.h"

namespace garthwright::cli {

namespace {

struct Given {
  std::string path;
  double limit_s = 0;
  bool csv = false;
  bool progress = false;
};

std::atomic<bool> interrupted{false};
static_assert(std::atomic<bool>::is_always_lock_free);  // a signal's handler may set it

// The first interrupt ends the search with the best so far, a second one the program.
void interrupt(int) {
  interrupted = true;
  std::signal(SIGINT, SIG_DFL);
}

void say_progress(const cutting::Progress& now) {
  std::fprintf(stderr, "after %.3f s: found %lld, none under %lld, gap %.2f %%\n", now.seconds,
               static_cast<long long>(now.cost), static_cast<long long>(now.lower_bound), 100 * now.gap());
}

Status buy(const Given& given) {
  const Result<std::string> text = read_text(given.path);
  if (!text) return wrong(text.error());
  const Result<exchange::CutList> list =
      exchange::parse_cut_list(*text, given.path == "-" ? "standard input" : given.path);
  if (!list) return wrong(list.error());
  print(list->remarks);
  if (given.csv && !list->problem.bundles.empty())
    return wrong(fail("no-csv", "an answer in CSV cannot say which bundles to buy", "leave out --csv").value());

  cutting::Options options;
  options.seconds_limit = given.limit_s;
  if (given.limit_s > 0) options.work_limit = std::numeric_limits<std::int64_t>::max() / 4;  // the clock alone ends it
  options.threads = std::thread::hardware_concurrency() > 1 ? 2 : 1;
  options.cancel = &interrupted;
  if (given.progress) options.on_progress = say_progress;
  std::signal(SIGINT, interrupt);
  const buying::Purchase purchase = buying::solve(list->problem, options);
  const cutting::Result& result = purchase.result;
  if (result.verdict == cutting::Verdict::solved)
    return write_out(given.csv ? exchange::cut_answer_csv(*list, purchase)
                               : exchange::cut_answer_json(*list, purchase));
  if (!result.diagnostics.empty()) return wrong(result.diagnostics);
  return wrong(fail("no-answer", "no plan was found before the limit, nor a proof that there is none",
                    "allow more time with --limit-s, or more of the limited lengths")
                   .value());
}

}  // namespace

void add_buy(CommandLine& words) {
  auto given = std::make_shared<Given>();
  Command command = words.add("buy", "Find the least-cost lengths for a list of pieces");
  command.argument("LIST", given->path, "cut list (JSON or CSV), or - for standard input");
  command.number("--limit-s", "SECONDS", given->limit_s, 1e6,
                 "stop after so many seconds with the best found so far (0: no limit)");
  command.flag("--csv", given->csv, "answer in CSV: stock_mm,count,pieces_mm");
  command.flag("--progress", given->progress,
               "say on standard error what is found so far, each time it gets better (an interrupt ends with that)");
  command.note(
      "JSON in:  {\"stock\": [{\"length_mm\": 4800, \"price_minor\": 1290, \"limit\": 4, \"off_cut\": false}],\n"
      "           \"kerf_mm\": 3, \"trim_mm\": 10, \"pieces\": [{\"length_mm\": 1150, \"quantity\": 7, \"mark\": "
      "\"A1\"}]}\n"
      "JSON out: {\"cost_minor\", \"lower_bound_minor\", \"optimal\", \"layouts\": [{\"stock_mm\", \"count\",\n"
      "           \"pieces\": [mm, …]}], \"seconds\", \"nodes\"}\n"
      "A stock may have \"bundles\": [{\"count\": 10, \"price_minor\": 9900}], and then need no price of its own; the "
      "answer\n"
      "then says what is \"bought\" and \"left_whole\" (JSON alone).\n"
      "CSV in:   kind,length_mm,price_minor,quantity,mark with kind stock, off_cut, piece, kerf or trim\n"
      "Pieces and a kerf between neighbours go into the length less the trim; an off-cut is not trimmed.\n"
      "The answer is the least cost when \"optimal\" is true; else it may cost up to the difference more.");
  command.runs([given] { return buy(*given); });
}

}  // namespace garthwright::cli
