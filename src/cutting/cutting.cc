// SPDX-License-Identifier: Apache-2.0
#include "cutting/cutting.h"

#include <algorithm>

#include "cutting/reduction.h"
#include "cutting/search.h"

namespace garthwright::cutting {

namespace {

double share_open(std::int64_t cost, std::int64_t lower_bound) {
  return cost > lower_bound ? static_cast<double>(cost - lower_bound) / static_cast<double>(cost) : 0;
}

Diagnostic why_infeasible(const Options& options) {
  if (options.at_most)
    return {Severity::error,
            "no-plan-so-cheap",
            "no plan costs " + std::to_string(*options.at_most) + " or less",
            "allow more",
            {}};
  return {Severity::error,
          "not-enough-stock",
          "the limits on stock leave too little for all pieces",
          "raise a limit or add a length without one",
          {}};
}

}  // namespace

double Progress::gap() const { return share_open(cost, lower_bound); }
double Result::gap() const { return share_open(cost, lower_bound); }

Result solve(const Problem& problem, const Options& options) {
  Work work(options.work_limit, options.seconds_limit, options.cancel);
  Result result;
  auto reduced = reduce(problem);
  if (auto* refusal = std::get_if<Refusal>(&reduced)) {
    result.verdict = refusal->verdict;
    result.piece = refusal->piece;
    result.diagnostics = std::move(refusal->diagnostics);
    result.seconds = work.seconds();
    return result;
  }
  const Reduction& reduction = std::get<Reduction>(reduced);
  const std::int64_t unit = reduction.model.cost_unit;
  const Report report = [&](std::int64_t cost, std::int64_t bound) {
    if (options.on_progress) options.on_progress({cost * unit, bound * unit, work.seconds()});
  };
  Window window;
  window.known_bound = (std::max<std::int64_t>(options.known_lower_bound, 0) + unit - 1) / unit;
  if (options.at_most) window.at_most = std::min(window.at_most, *options.at_most / unit);
  const Outcome outcome = search(reduction.model, window, report, work, options.threads);

  result.nodes = outcome.nodes;
  result.work = work.spent();
  result.lower_bound = outcome.bound * unit;
  const bool ended_early = !outcome.infeasible && (!outcome.plan || outcome.plan->cost > outcome.bound);
  if (ended_early) result.stop = work.by_cancel() ? Stop::cancelled : work.by_clock() ? Stop::time : Stop::work;
  if (outcome.plan) {
    result.verdict = Verdict::solved;
    result.layouts = expand(problem, reduction, *outcome.plan);
    for (const Layout& layout : result.layouts) result.cost += layout.count * problem.stock[layout.stock].cost;
    result.optimal = result.cost == result.lower_bound;
  } else if (outcome.infeasible) {
    result.verdict = Verdict::infeasible;
    result.diagnostics.push_back(why_infeasible(options));
  } else {
    result.verdict = Verdict::unknown;
  }
  result.seconds = work.seconds();
  return result;
}

}  // namespace garthwright::cutting
