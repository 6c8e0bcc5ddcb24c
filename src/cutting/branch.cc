// SPDX-License-Identifier: Apache-2.0
#include "cutting/branch.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

#include "cutting/column_generation.h"
#include "cutting/dive.h"
#include "cutting/greedy.h"
#include "cutting/simplex.h"

namespace garthwright::cutting {
namespace {

constexpr double kWhole = 1e-4;
constexpr double kNearlyWhole = 0.7;
constexpr std::int64_t kShortestEnd = 24, kLongestEnd = 100, kEndNodes = 60;  // in bars; nodes
constexpr double kLacks = 1e-2;                       // the shifts of the right-hand sides add up to less
constexpr double kDualScale = 1099511627776.0;        // 2^40
constexpr double kMostWorth = 1152921504606846976.0;  // 2^60, for one bar
constexpr double kPenalty = 30;
constexpr double kBeyond = 1.0001;  // of the mix's worth: prices by which it is exceeded refute it in whole numbers too

bool is_whole(double x) { return std::abs(x - std::round(x)) < kWhole; }

class Packer {
 public:
  Packer(const Model& model, std::span<const std::int64_t> mix, const std::vector<Pattern>& patterns,
         const Prices& prices, std::int64_t most_nodes, Work& work)
      : model_(model), mix_(mix), patterns_(patterns), prices_(prices), most_nodes_(most_nodes), work_(work) {}

  PackResult run() {
    build();
    end_ = simplex_.primal(work_) ? Simplex::End::optimal : Simplex::End::stopped;
    result_.packing = visit(0);
    return std::move(result_);
  }

 private:
  struct BranchRow {
    Simplex::Sense sense;
    std::int64_t rhs;
    std::vector<int> columns;
    int row;
  };

  void build() {
    std::int64_t worth = 1;
    for (int k = 0; k < model_.kinds(); ++k)
      if (mix_[k] > 0) worth = std::max(worth, prices_.worth[k]);
    for (int k = 0; k < model_.kinds(); ++k)
      cutoff_ +=
          kBeyond * static_cast<double>(mix_[k]) * static_cast<double>(prices_.worth[k]) / static_cast<double>(worth);
    for (int i = 0; i < model_.rows(); ++i)
      simplex_.add_row(Simplex::Sense::at_least, static_cast<double>(model_.demand[i]), kPenalty);
    for (int k = 0; k < model_.kinds(); ++k)
      bar_row_.push_back(mix_[k] > 0 ? simplex_.add_row(Simplex::Sense::at_most, static_cast<double>(mix_[k]), 0) : -1);
    for (const Pattern& pattern : patterns_) {
      cover_.push_back(coverage(model_, pattern));
      std::vector<Entry> entries = cover_.back();
      double pieces = 0;
      for (const Entry& e : entries) pieces += e.value;
      most_pieces_ = std::max(most_pieces_, pieces);
      entries.push_back({bar_row_[pattern.bar], 1.0});
      simplex_.add_column(entries, static_cast<double>(prices_.worth[pattern.bar]) / static_cast<double>(worth));
    }
    banned_.assign(patterns_.size(), 0);
  }

  Packing visit(int depth) {
    ++result_.nodes;
    if (result_.nodes > most_nodes_ || work_.over()) return Packing::unknown;
    for (int attempt = 0;; ++attempt) {
      if (closed_by_whole_numbers()) return Packing::refuted;
      if (!lacking()) break;
      if (attempt == 4 || work_.over()) return Packing::unknown;
      if (end_ != Simplex::End::optimal) {
        end_ = simplex_.dual(work_);
      } else {
        simplex_.multiply_penalties(50);
        end_ = simplex_.primal(work_) ? Simplex::End::optimal : Simplex::End::stopped;
      }
    }
    const std::vector<double> x = simplex_.solution();
    if (whole_solution(x) || (result_.nodes % 8 == 1 && rounded_solution(x))) return Packing::found;
    if (depth == 0 && dive(x)) return Packing::found;

    std::optional<BranchRow> choice = choose(x);
    if (!choice) return Packing::unknown;
    const Simplex::Mark mark = simplex_.mark();
    const std::vector<char> banned = banned_;
    const std::size_t rows = branches_.size();
    bool all_refuted = true;
    const std::int64_t floor = choice->rhs;
    for (const bool up : {true, false}) {
      BranchRow row = *choice;
      row.sense = up ? Simplex::Sense::at_least : Simplex::Sense::at_most;
      row.rhs = up ? floor + 1 : floor;
      row.row = simplex_.add_branch(row.sense, static_cast<double>(row.rhs), row.columns, up ? kPenalty : 0);
      branches_.push_back(std::move(row));
      solve();
      const Packing below = visit(depth + 1);
      if (below == Packing::found) return below;
      if (below == Packing::unknown) all_refuted = false;
      simplex_.restore(mark);
      banned_ = banned;
      branches_.resize(rows);
      if (result_.nodes > most_nodes_ || work_.over()) return Packing::unknown;
    }
    return all_refuted ? Packing::refuted : Packing::unknown;
  }

  // The duals in whole numbers: what each pattern would be worth by them, the most of each bar, and what the mix can
  // lose. Closes the node or bans patterns that lose more than that.
  bool closed_by_whole_numbers() {
    std::vector<std::int64_t> price(model_.rows());
    double top = 1;
    for (int i = 0; i < simplex_.rows(); ++i) top = std::max(top, std::abs(simplex_.price(i)));
    const double scale = std::min(kDualScale / std::max(1.0, top / 64), kMostWorth / (top * most_pieces_));
    __int128 due = 0;
    for (int i = 0; i < model_.rows(); ++i) {
      price[i] = static_cast<std::int64_t>(std::max(0.0, simplex_.price(i)) * scale);
      due += static_cast<__int128>(price[i]) * model_.demand[i];
    }
    std::vector<std::int64_t> worth(patterns_.size(), 0);
    for (std::size_t p = 0; p < patterns_.size(); ++p) {
      if (banned_[p]) continue;
      for (const Entry& e : cover_[p]) worth[p] += price[e.row] * static_cast<std::int64_t>(e.value);
    }
    for (const BranchRow& branch : branches_) {
      const bool up = branch.sense == Simplex::Sense::at_least;
      const double y = up ? simplex_.price(branch.row) : -simplex_.price(branch.row);
      const auto multiplier = static_cast<std::int64_t>(std::max(0.0, y) * scale);
      if (multiplier == 0) continue;
      due += static_cast<__int128>(up ? multiplier : -multiplier) * branch.rhs;
      for (int p : branch.columns) worth[p] += up ? multiplier : -multiplier;
    }
    std::vector<std::int64_t> most(model_.kinds(), 0);
    for (std::size_t p = 0; p < patterns_.size(); ++p)
      if (!banned_[p]) most[patterns_[p].bar] = std::max(most[patterns_[p].bar], worth[p]);
    __int128 slack = -due;
    for (int k = 0; k < model_.kinds(); ++k) slack += static_cast<__int128>(most[k]) * mix_[k];
    work_.spend(10 * static_cast<std::int64_t>(patterns_.size()));
    if (slack < 0) return true;
    for (std::size_t p = 0; p < patterns_.size(); ++p) {
      if (banned_[p] || most[patterns_[p].bar] - worth[p] <= slack) continue;
      if (simplex_.basic(static_cast<int>(p))) continue;
      banned_[p] = 1;
      simplex_.ban(static_cast<int>(p));
    }
    return false;
  }

  bool whole_solution(const std::vector<double>& x) {
    Remainder left{model_.demand, {mix_.begin(), mix_.end()}};
    Plan plan;
    for (std::size_t p = 0; p < x.size(); ++p) {
      if (x[p] < kWhole) continue;
      if (!is_whole(x[p])) return false;
      take(p, static_cast<std::int64_t>(std::round(x[p])), left, plan);
    }
    return sound(left, std::move(plan));
  }

  void take(std::size_t p, std::int64_t count, Remainder& left, Plan& plan) const {
    left.limit[patterns_[p].bar] -= count;
    for (const Entry& e : cover_[p]) left.demand[e.row] -= static_cast<std::int64_t>(e.value) * count;
    plan.uses.push_back({patterns_[p], count});
    plan.cost += count * model_.bars[patterns_[p].bar].cost;
  }

  bool sound(const Remainder& left, Plan plan) {
    if (!all_met(left) || !within_limits(left)) return false;
    result_.plan = std::move(plan);
    return true;
  }

  bool rounded_solution(std::vector<double> x) {
    Remainder left{model_.demand, {mix_.begin(), mix_.end()}};
    Plan plan;
    take_whole(x, left, plan);
    if (!within_limits(left)) return false;
    if (all_met(left)) return sound(left, std::move(plan));
    left.demand = still_wanted(left);
    std::vector<double> value(model_.rows());
    for (int i = 0; i < model_.rows(); ++i) value[i] = static_cast<double>(prices_.price[i]);
    std::optional<Plan> rest = fill_by_value(model_, left, value, true, work_);
    if (!rest) rest = fill_by_value(model_, left, value, false, work_);
    if (!rest) return false;
    plan.uses.insert(plan.uses.end(), rest->uses.begin(), rest->uses.end());
    plan.cost += rest->cost;
    result_.plan = std::move(plan);
    return true;
  }

  // Takes what is whole and what is nearly so, and solves for what remains, until nothing does. Where the rest cannot
  // be met, the last steps are searched for a better way. Mostly this finds a plan where there is one, in far fewer
  // steps than branching.
  bool dive(std::vector<double> x) {
    const Simplex::Mark start = simplex_.mark();
    std::vector<Dive::Step> steps;
    Remainder left{model_.demand, {mix_.begin(), mix_.end()}};
    Plan plan;
    bool found = false, stuck = false;
    while (!stuck && !work_.over()) {
      take_whole(x, left, plan);
      if (all_met(left)) {
        found = sound(left, std::move(plan));
        break;
      }
      steps.push_back({plan.uses.size(), plan.cost, left});
      stuck = true;
      for (const double nearly : {kNearlyWhole, 1.0}) {
        if (!take_fractions(x, nearly, left, plan)) break;
        solve_for(left);
        if (!lacking()) {
          stuck = false;
          x = simplex_.solution();
          break;
        }
        step_back(steps.back(), left, plan);
      }
    }
    simplex_.restore(start);
    return found || (stuck && search_end(steps, plan));
  }

  void take_whole(std::vector<double>& x, Remainder& left, Plan& plan) const {
    for (std::size_t p = 0; p < x.size(); ++p) {
      const auto count = static_cast<std::int64_t>(x[p] + kWhole);
      if (count == 0) continue;
      take(p, count, left, plan);
      x[p] -= static_cast<double>(count);
    }
  }

  // The greatest fractions, down to `nearly`, but one at least. False: no pattern is wanted whole.
  bool take_fractions(const std::vector<double>& x, double nearly, Remainder& left, Plan& plan) const {
    std::vector<int> order;
    for (std::size_t p = 0; p < x.size(); ++p)
      if (x[p] > kWhole) order.push_back(static_cast<int>(p));
    std::stable_sort(order.begin(), order.end(), [&](int a, int b) { return x[a] > x[b]; });
    bool taken = false;
    for (int p : order) {
      if (taken && x[p] < nearly) break;
      if (!wanted_whole(p, left)) continue;
      take(p, 1, left, plan);
      taken = true;
    }
    return taken;
  }

  static void step_back(const Dive::Step& step, Remainder& left, Plan& plan) {
    left = step.left;
    plan.uses.resize(step.uses);
    plan.cost = step.cost;
  }

  static bool all_met(const Remainder& left) {
    return std::all_of(left.demand.begin(), left.demand.end(), [](std::int64_t d) { return d <= 0; });
  }

  static bool within_limits(const Remainder& left) {
    return std::all_of(left.limit.begin(), left.limit.end(), [](std::int64_t l) { return l >= 0; });
  }

  // Patterns may have cut more than was wanted.
  static std::vector<std::int64_t> still_wanted(const Remainder& left) {
    std::vector<std::int64_t> demand = left.demand;
    for (std::int64_t& d : demand) d = std::max<std::int64_t>(0, d);
    return demand;
  }

  static std::int64_t bars(const Remainder& left) {
    return std::accumulate(left.limit.begin(), left.limit.end(), std::int64_t{0});
  }

  void solve_for(const Remainder& left) {
    const std::vector<std::int64_t> demand = still_wanted(left);
    for (int i = 0; i < model_.rows(); ++i) simplex_.set_rhs(i, static_cast<double>(demand[i]));
    for (int k = 0; k < model_.kinds(); ++k)
      if (bar_row_[k] >= 0)
        simplex_.set_rhs(bar_row_[k], static_cast<double>(std::max<std::int64_t>(0, left.limit[k])));
    solve();
  }

  // The last change of the programme taken in. Where the value passes what the mix is worth there is nothing to find.
  void solve() {
    end_ = simplex_.dual(work_, cutoff_);
    if (end_ == Simplex::End::stopped && !work_.over()) end_ = simplex_.afresh(work_) ? Simplex::End::optimal : end_;
  }

  bool lacking() const { return end_ != Simplex::End::optimal || simplex_.lack() > kLacks; }

  // The end of a dive as a problem of its own, from ever further back.
  bool search_end(const std::vector<Dive::Step>& steps, const Plan& plan) {
    if (inner_) return false;
    std::int64_t back = kShortestEnd;
    for (std::size_t s = steps.size(); s-- > 0 && back <= kLongestEnd;) {
      const Dive::Step& step = steps[s];
      if (bars(step.left) < back && s > 0) continue;
      back *= 2;
      Model rest = model_;
      rest.demand = still_wanted(step.left);
      std::vector<Pattern> patterns;
      for (std::size_t p = 0; p < patterns_.size(); ++p)
        if (wanted_whole(p, step.left)) patterns.push_back(patterns_[p]);
      Packer packer(rest, step.left.limit, patterns, prices_, kEndNodes, work_);
      packer.inner_ = true;
      PackResult end = packer.run();
      result_.nodes += end.nodes;
      if (end.packing != Packing::found) continue;
      result_.plan = with_end(plan, step, end.plan);
      return true;
    }
    return false;
  }

  bool wanted_whole(std::size_t p, const Remainder& left) const {
    if (left.limit[patterns_[p].bar] <= 0) return false;
    return std::all_of(cover_[p].begin(), cover_[p].end(),
                       [&](const Entry& e) { return static_cast<std::int64_t>(e.value) <= left.demand[e.row]; });
  }

  // A set of patterns used a fractional number of times: those that hold two items together, or one item several
  // times, of all bars or of one kind; in the end a single pattern.
  std::optional<BranchRow> choose(const std::vector<double>& x) const {
    struct Key {
      int bar, first, second;
      std::int64_t at_least;
      auto operator<=>(const Key&) const = default;
    };
    std::map<Key, double> sums;
    int single = -1;
    double single_score = 0;
    for (std::size_t p = 0; p < x.size(); ++p) {
      if (x[p] < kWhole) continue;
      const double fraction = x[p] - std::floor(x[p]);
      if (!is_whole(x[p]) && std::min(fraction, 1 - fraction) > single_score) {
        single_score = std::min(fraction, 1 - fraction);
        single = static_cast<int>(p);
      }
      const auto& items = patterns_[p].items;
      for (std::size_t a = 0; a < items.size(); ++a) {
        for (std::int64_t s = 1; s <= std::min<std::int64_t>(items[a].count, 8); ++s) {
          if (s > 1 || model_.kinds() > 1) sums[{s > 1 ? -1 : patterns_[p].bar, items[a].item, -1, s}] += x[p];
        }
        for (std::size_t b = a + 1; b < items.size(); ++b) sums[{-1, items[a].item, items[b].item, 1}] += x[p];
      }
    }
    if (single < 0) return std::nullopt;
    std::optional<Key> best;
    double best_score = 0, best_sum = 0;
    for (const auto& [key, sum] : sums) {
      if (is_whole(sum)) continue;
      const double fraction = sum - std::floor(sum);
      double length = static_cast<double>(model_.items[key.first].length);
      if (key.second >= 0) length += static_cast<double>(model_.items[key.second].length);
      const double score = std::min(fraction, 1 - fraction) * length;
      if (score > best_score * (1 + 1e-9)) {
        best_score = score;
        best = key;
        best_sum = sum;
      }
    }
    BranchRow row{Simplex::Sense::at_most, 0, {}, -1};
    if (!best) {
      row.rhs = static_cast<std::int64_t>(std::floor(x[single]));
      row.columns.push_back(single);
      return row;
    }
    row.rhs = static_cast<std::int64_t>(std::floor(best_sum));
    for (std::size_t p = 0; p < patterns_.size(); ++p) {
      if (best->bar >= 0 && patterns_[p].bar != best->bar) continue;
      if (holds(patterns_[p], best->first, best->at_least) &&
          (best->second < 0 || holds(patterns_[p], best->second, 1)))
        row.columns.push_back(static_cast<int>(p));
    }
    return row;
  }

  static bool holds(const Pattern& pattern, int item, std::int64_t at_least) {
    const auto at = std::lower_bound(pattern.items.begin(), pattern.items.end(), ItemCount{item, 0});
    return at != pattern.items.end() && at->item == item && at->count >= at_least;
  }

  const Model& model_;
  std::span<const std::int64_t> mix_;
  const std::vector<Pattern>& patterns_;
  const Prices& prices_;
  std::int64_t most_nodes_;
  Work& work_;
  Simplex simplex_;
  std::vector<int> bar_row_;
  std::vector<std::vector<Entry>> cover_;
  double most_pieces_ = 1, cutoff_ = 0;
  Simplex::End end_ = Simplex::End::stopped;
  bool inner_ = false;  // the end of another's dive
  std::vector<char> banned_;
  std::vector<BranchRow> branches_;
  PackResult result_;
};

}  // namespace

PackResult pack(const Model& model, std::span<const std::int64_t> mix, const std::vector<Pattern>& patterns,
                const Prices& prices, std::int64_t most_nodes, Work& work) {
  return Packer(model, mix, patterns, prices, most_nodes, work).run();
}

}  // namespace garthwright::cutting
