// SPDX-License-Identifier: Apache-2.0
#include "assembly/makespan.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <tuple>
#include <utility>

#include "assembly/piece_set.h"

namespace garthwright::assembly {
namespace {

constexpr double kInstant = 1e-9;  // h; instants nearer than this are one

/// Tasks in an order in which each comes after all it waits for; shorter than the list when there is a ring.
std::vector<int> waiting_order(const std::vector<Task>& tasks) {
  const int n = static_cast<int>(tasks.size());
  std::vector<int> order;
  std::vector<bool> placed(n, false);
  for (bool progress = true; progress;) {
    progress = false;
    for (int i = 0; i < n; ++i) {
      if (placed[i]) continue;
      const auto& after = tasks[i].after;
      if (std::all_of(after.begin(), after.end(), [&](const Task::After& a) { return placed[a.task]; })) {
        placed[i] = progress = true;
        order.push_back(i);
      }
    }
  }
  return order;
}

class Search {
 public:
  Search(const std::vector<Task>& tasks, int workers, MakespanLimits limits)
      : tasks_(tasks),
        n_(static_cast<int>(tasks.size())),
        workers_(workers),
        nodes_left_(limits.nodes),
        start_(n_, 0),
        done_(n_) {
    tail_.assign(n_, 0);
    const std::vector<int> order = waiting_order(tasks);
    for (auto i = order.rbegin(); i != order.rend(); ++i) {
      tail_[*i] += tasks[*i].hours;
      for (const Task::After& a : tasks[*i].after) {
        tail_[a.task] = std::max(tail_[a.task], a.lag_hours + tail_[*i]);
      }
      work_left_ += tasks[*i].hours * tasks[*i].hands;
    }
  }

  Makespan run() {
    extend(0, 0);
    return {best_, nodes_left_ >= 0, best_starts_};
  }

 private:
  double end(int i) const { return start_[i] + tasks_[i].hours; }

  /// All tasks in `done_` have starts, none after `now`; adds one more, started at `now` or later.
  void extend(double now, double latest_end) {
    if (--nodes_left_ < 0) return;
    if (done_.count() == n_) {
      if (latest_end < best_ - kInstant) {
        best_ = latest_end;
        best_starts_ = start_;
      }
      return;
    }
    std::vector<std::pair<double, int>> next;
    for (int i = 0; i < n_; ++i) {
      if (!done_.has(i)) {
        const double earliest = earliest_by_waits(i, now);
        if (earliest + tail_[i] >= best_ - kInstant) return;
        if (eligible(i)) next.emplace_back(earliest_with_hands(i, earliest), i);
      }
    }
    if (now + (work_left_ + work_running(now)) / workers_ >= best_ - kInstant) return;
    if (seen_better(now, latest_end)) return;

    std::sort(next.begin(), next.end(), [&](const auto& a, const auto& b) {
      return std::tuple(a.first, -tail_[a.second], a.second) < std::tuple(b.first, -tail_[b.second], b.second);
    });
    for (const auto& [at, i] : next) {
      if (at + tail_[i] >= best_ - kInstant) continue;
      start_[i] = at;
      done_.insert(i);
      work_left_ -= tasks_[i].hours * tasks_[i].hands;
      extend(at, std::max(latest_end, end(i)));
      work_left_ += tasks_[i].hours * tasks_[i].hands;
      done_.erase(i);
    }
  }

  bool eligible(int i) const {
    const auto& after = tasks_[i].after;
    return std::all_of(after.begin(), after.end(), [&](const Task::After& a) { return done_.has(a.task); });
  }

  /// Takes what is not yet placed as ending no sooner than it could at best.
  double earliest_by_waits(int i, double now) const {
    double earliest = now;
    for (const Task::After& a : tasks_[i].after) {
      if (done_.has(a.task)) earliest = std::max(earliest, end(a.task) + a.lag_hours);
    }
    return earliest;
  }

  /// All placed tasks have begun by `from`, so hands only come free.
  double earliest_with_hands(int i, double from) const {
    std::vector<std::pair<double, int>> ends;
    int busy = 0;
    done_.for_each([&](int j) {
      if (end(j) > from + kInstant) {
        ends.emplace_back(end(j), tasks_[j].hands);
        busy += tasks_[j].hands;
      }
    });
    std::sort(ends.begin(), ends.end());
    double at = from;
    for (const auto& [when, hands] : ends) {
      if (busy + tasks_[i].hands <= workers_) break;
      at = when;
      busy -= hands;
    }
    return at;
  }

  double work_running(double now) const {
    double work = 0;
    done_.for_each([&](int j) { work += std::max(0.0, end(j) - now) * tasks_[j].hands; });
    return work;
  }

  /// What the future can feel of the past: which tasks are placed, the last start, who is still busy, open waits.
  bool seen_better(double now, double latest_end) {
    std::vector<long> felt;
    for (int i = 0; i < n_; ++i) {
      if (done_.has(i)) felt.push_back(std::lround(std::max(0.0, end(i) - now + longest_wait_on(i)) * 1e6));
    }
    felt.push_back(std::lround(now * 1e6));
    const auto [known, is_new] = seen_.try_emplace({done_, felt}, latest_end);
    if (is_new) return false;
    if (latest_end >= known->second - kInstant) return true;
    known->second = latest_end;
    return false;
  }

  double longest_wait_on(int i) const {
    double longest = 0;
    for (int j = 0; j < n_; ++j) {
      if (done_.has(j)) continue;
      for (const Task::After& a : tasks_[j].after) {
        if (a.task == i) longest = std::max(longest, a.lag_hours);
      }
    }
    return longest;
  }

  const std::vector<Task>& tasks_;
  int n_;
  int workers_;
  long nodes_left_;
  std::vector<double> start_;
  PieceSet done_;
  std::vector<double> tail_;  ///< from a task's start to the end of all, hands aside
  double work_left_ = 0;
  double best_ = std::numeric_limits<double>::infinity();
  std::vector<double> best_starts_;
  std::map<std::pair<PieceSet, std::vector<long>>, double> seen_;
};

}  // namespace

std::optional<int> task_in_a_ring(const std::vector<Task>& tasks) {
  const std::vector<int> order = waiting_order(tasks);
  if (order.size() == tasks.size()) return std::nullopt;
  // Follow unplaced predecessors until one comes up again.
  std::vector<bool> placed(tasks.size(), false);
  for (int i : order) placed[i] = true;
  int at = static_cast<int>(std::find(placed.begin(), placed.end(), false) - placed.begin());
  std::vector<bool> met(tasks.size(), false);
  while (!met[at]) {
    met[at] = true;
    for (const Task::After& a : tasks[at].after) {
      if (!placed[a.task]) {
        at = a.task;
        break;
      }
    }
  }
  return at;
}

Makespan least_makespan(const std::vector<Task>& tasks, int workers, MakespanLimits limits) {
  for (const Task& t : tasks) {
    if (t.hands > workers) return {std::nullopt, true, {}};
  }
  if (tasks.empty()) return {0.0, true, {}};
  return Search(tasks, workers, limits).run();
}

}  // namespace garthwright::assembly
