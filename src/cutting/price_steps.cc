// SPDX-License-Identifier: Apache-2.0
#include "cutting/price_steps.h"

#include <algorithm>
#include <chrono>
#include <map>

namespace garthwright::cutting {
namespace {

// The plan's layouts, used for another x: rests are what they then are.
bool still_fits(const Problem& problem, const std::vector<Layout>& layouts) {
  std::vector<__int128> got(problem.pieces.size(), 0);
  for (const Layout& layout : layouts) {
    if (layout.stock >= static_cast<int>(problem.stock.size())) return false;
    const Stock& stock = problem.stock[layout.stock];
    __int128 needed = -problem.kerf;
    for (const Cut& cut : layout.cuts) {
      if (cut.piece >= static_cast<int>(problem.pieces.size())) return false;
      const Piece& piece = problem.pieces[cut.piece];
      const std::int64_t length = cut.way == 0 ? piece.length : piece.alternatives[cut.way - 1].length;
      const std::int64_t yield = cut.way == 0 ? 1 : piece.alternatives[cut.way - 1].yield;
      needed += static_cast<__int128>(length + problem.kerf) * cut.count;
      got[cut.piece] += static_cast<__int128>(cut.count) * yield * layout.count;
    }
    if (needed > stock.length - (stock.off_cut ? 0 : problem.trim)) return false;
  }
  for (std::size_t i = 0; i < got.size(); ++i)
    if (got[i] < problem.pieces[i].quantity) return false;
  return true;
}

class StepFinder {
 public:
  StepFinder(const std::function<Problem(std::int64_t)>& problem_at, Options options, PriceSteps& out)
      : problem_at_(problem_at), options_(std::move(options)), out_(out) {}

  void run(std::int64_t low, std::int64_t high) {
    if (!solve_at(low, 0)) return;
    points_[low].reach = reach(low, high);
    if (!solve_at(high, points_.at(low).lower_bound)) high = last_feasible(low, high);
    between(low, high);
    join();
  }

 private:
  struct Point {
    std::int64_t cost = 0, lower_bound = 0, reach = 0;  // the plan fits up to `reach`
  };

  bool solve_at(std::int64_t x, std::int64_t known_bound) {
    options_.known_lower_bound = known_bound;
    const Result result = solve(problem_at_(x), options_);
    ++out_.solves;
    if (result.verdict != Verdict::solved) {
      out_.diagnostics = result.diagnostics;
      return false;
    }
    points_[x] = {result.cost, result.lower_bound, x};
    layouts_ = result.layouts;
    return true;
  }

  // By halving: feasible at low, not at high.
  std::int64_t last_feasible(std::int64_t low, std::int64_t high) {
    while (high - low > 1) {
      const std::int64_t middle = low + (high - low) / 2;
      if (solve_at(middle, points_.at(low).lower_bound))
        low = middle;
      else
        high = middle;
    }
    return low;
  }

  // Greatest x up to `most` at which the last plan still fits.
  std::int64_t reach(std::int64_t x, std::int64_t most) const {
    if (still_fits(problem_at_(most), layouts_)) return most;
    while (most - x > 1) {
      const std::int64_t middle = x + (most - x) / 2;
      (still_fits(problem_at_(middle), layouts_) ? x : most) = middle;
    }
    return x;
  }

  // Both ends are solved.
  void between(std::int64_t low, std::int64_t high) {
    std::vector<std::pair<std::int64_t, std::int64_t>> open{{low, high}};
    while (!open.empty()) {
      auto [a, b] = open.back();
      open.pop_back();
      const Point left = points_.at(a), right = points_.at(b);
      if (b - a <= 1 || left.reach >= b || (left.cost == right.cost && left.cost == left.lower_bound)) continue;
      const std::int64_t from = std::max(a, left.reach);
      if (b - from <= 1) continue;
      const std::int64_t middle = from + (b - from) / 2;
      if (!solve_at(middle, left.lower_bound)) continue;  // cannot be: a plan for b serves here
      points_[middle].reach = reach(middle, b);
      open.push_back({middle, b});
      open.push_back({a, middle});
    }
  }

  // Points to steps: between two solved points cost is at most that of the right one, at least the bound of the left.
  void join() {
    std::int64_t bound = 0;
    for (auto& [x, point] : points_) bound = point.lower_bound = std::max(point.lower_bound, bound);
    std::int64_t cost = points_.rbegin()->second.cost;
    for (auto point = points_.rbegin(); point != points_.rend(); ++point)
      cost = point->second.cost = std::min(point->second.cost, cost);
    for (auto at = points_.begin(); at != points_.end(); ++at) {
      const auto next = std::next(at);
      const Point& here = at->second;
      if (next == points_.end()) {
        add({at->first, at->first, here.cost, here.lower_bound});
        continue;
      }
      const std::int64_t reach = std::min(here.reach, next->first - 1);
      add({at->first, std::max(reach, at->first), here.cost, here.lower_bound});
      const std::int64_t from = std::max(reach, at->first) + 1;
      if (from < next->first) add({from, next->first - 1, next->second.cost, here.lower_bound});
    }
  }

  void add(const PriceStep& step) {
    if (!out_.steps.empty() && out_.steps.back().cost == step.cost && out_.steps.back().lower_bound == step.lower_bound)
      out_.steps.back().to = step.to;
    else
      out_.steps.push_back(step);
  }

  const std::function<Problem(std::int64_t)>& problem_at_;
  Options options_;
  PriceSteps& out_;
  std::map<std::int64_t, Point> points_;
  std::vector<Layout> layouts_;
};

}  // namespace

bool PriceSteps::proven() const {
  return std::all_of(steps.begin(), steps.end(), [](const PriceStep& step) { return step.proven(); });
}

PriceSteps price_steps(const std::function<Problem(std::int64_t)>& problem_at, std::int64_t low, std::int64_t high,
                       const Options& options) {
  const auto start = std::chrono::steady_clock::now();
  PriceSteps out;
  if (low > high) {
    out.diagnostics.push_back({Severity::error,
                               "empty-range",
                               std::to_string(low) + " to " + std::to_string(high) + " is no range",
                               "give the smaller number first",
                               {}});
    return out;
  }
  StepFinder(problem_at, options, out).run(low, high);
  out.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  return out;
}

PriceSteps price_steps(const Problem& problem, int piece, std::int64_t low, std::int64_t high, const Options& options) {
  return price_steps(
      [&](std::int64_t length) {
        Problem at = problem;
        at.pieces[piece].length = length;
        return at;
      },
      low, high, options);
}

}  // namespace garthwright::cutting
