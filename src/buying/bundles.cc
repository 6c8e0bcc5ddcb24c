// SPDX-License-Identifier: Apache-2.0
#include "buying/bundles.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <limits>
#include <numeric>
#include <optional>
#include <queue>
#include <tuple>

#include "base/patience.h"

namespace garthwright::buying {
namespace {

using cutting::Layout;
using cutting::Problem;
using cutting::Stop;
using cutting::Verdict;
using Counts = std::vector<std::int64_t>;

constexpr std::int64_t kMostCost = 1'000'000'000'000;
constexpr std::int64_t kMostCount = 1'000'000'000;
constexpr std::int64_t kMostSum = std::int64_t{1} << 60;
constexpr std::int64_t kNone = std::numeric_limits<std::int64_t>::max();
/// A length out of a bundle costs a fraction of a minor unit, so costs are counted in 1/scale of one: the least common
/// multiple of the counts while that is no more than this, else 1/kCoarseScale, rounded down (which only lowers
/// bounds).
constexpr std::int64_t kMostScale = 100'000, kCoarseScale = 1000;
constexpr std::int64_t kMostTable = 200'000;    // lengths of one stock whose cheapest bundles are tabled
constexpr std::int64_t kFirstShare = 8;         // of the work left goes to the first solve, at most
constexpr std::int64_t kShare = 64;             // and to each of the others, at their first look
constexpr int kMostEffort = 6;                  // each further look at a node takes four times as much
constexpr std::int64_t kNodeWork = 10'000;      // what a node costs beside its solve
constexpr std::int64_t kSpareWork = 5'000'000;  // for cutting into fewer lengths once all is bought
constexpr std::size_t kMostOpen = 100'000;      // nodes kept in memory

std::int64_t rounded_up(std::int64_t amount, std::int64_t unit) { return (amount + unit - 1) / unit * unit; }

/// Where a length of the relaxed problem comes from.
struct Entry {
  enum class Kind { on_hand, bundled, single };
  Kind kind = Kind::single;
  int stock = 0;
  int bundle = -1;  // of kind bundled
};

/// All purchases with numbers of bundles from low to high.
struct Node {
  Counts low, high;
  std::int64_t bound = 0;  // scaled; of fractions of bundles too
  int effort = 0;
  std::int64_t order = 0;
};

class BundleSearch {
 public:
  BundleSearch(const BundleProblem& problem, const cutting::Options& options)
      : problem_(problem), options_(options), start_(std::chrono::steady_clock::now()) {}

  Purchase run() {
    if (auto refusal = bad_numbers()) return *std::move(refusal);
    if (!set_scale())
      return refused("all costs together pass what can be added up", "give smaller units or quantities");
    Node root{Counts(kinds(), 0), most_, 0, 0, 0};
    open_.push(std::move(root));
    while (!open_.empty() && !stopped()) {
      Node node = open_.top();
      if (hopeless(node)) {  // and with it all others
        open_ = {};
        break;
      }
      open_.pop();
      if (auto refusal = look_at(std::move(node))) return *std::move(refusal);
      report();
    }
    return outcome();
  }

 private:
  struct CheapestFirst {
    bool operator()(const Node& a, const Node& b) const {
      return std::tuple(a.bound, a.effort, -a.order) > std::tuple(b.bound, b.effort, -b.order);
    }
  };
  /// What one solve of a node gave.
  struct Relaxed {
    std::vector<Entry> entries;
    cutting::Result result;
    std::int64_t fixed = 0;  // for the bundles that are surely bought, not scaled
  };

  std::size_t kinds() const { return problem_.bundles.size(); }
  std::size_t stocks() const { return problem_.cutting.stock.size(); }
  const Bundle& bundle(std::size_t i) const { return problem_.bundles[i]; }
  std::int64_t scaled(std::int64_t cost) const { return std::min(cost, kMostSum / scale_) * scale_; }
  /// What a purchase costs at least when it costs this much in 1/scale.
  std::int64_t unscaled(std::int64_t bound) const {
    return rounded_up(std::max((bound + scale_ - 1) / scale_, options_.known_lower_bound), unit_);
  }

  // ---- the numbers --------------------------------------------------------------------------------------------------

  Purchase refused(std::string what, std::string cure) const {
    Purchase purchase;
    purchase.result.verdict = Verdict::refused;
    purchase.result.diagnostics = {{Severity::error, "bad-cutting-list", std::move(what), std::move(cure), {}}};
    return purchase;
  }

  std::optional<Purchase> bad_numbers() const {
    const auto no_stock = [&](int k) { return k < 0 || static_cast<std::size_t>(k) >= stocks(); };
    for (std::size_t i = 0; i < kinds(); ++i) {
      const std::string name = fmt::format("bundle {}", i + 1);
      if (no_stock(bundle(i).stock)) return refused(name + " is of no stock", "use an index of the stock list");
      if (bundle(i).count < 1 || bundle(i).count > kMostCount)
        return refused(fmt::format("{} holds {} lengths", name, bundle(i).count),
                       fmt::format("give 1 to {}", kMostCount));
      if (bundle(i).cost < 0 || bundle(i).cost > kMostCost)
        return refused(fmt::format("{} costs {}", name, bundle(i).cost), fmt::format("give 0 to {}", kMostCost));
    }
    if (std::any_of(problem_.not_singly.begin(), problem_.not_singly.end(), no_stock))
      return refused("what is not sold singly is no stock", "use indices of the stock list");
    // The rest as the kernel says it: nothing is searched.
    cutting::Options nothing;
    nothing.work_limit = 0;
    Purchase checked;
    checked.result = cutting::solve(problem_.cutting, nothing);
    if (checked.result.verdict == Verdict::refused || checked.result.piece >= 0) return checked;
    return std::nullopt;
  }

  /// The most bundles that could be of use, the scale, and the unit of all that can be paid. False where sums overflow.
  bool set_scale() {
    std::int64_t wanted = 0;  // each length that is cut gives at least one piece
    for (const cutting::Piece& piece : problem_.cutting.pieces) wanted += piece.quantity;
    std::int64_t dearest = 1, least_multiple = 1;
    __int128 all = 0;
    for (std::size_t k = 0; k < stocks(); ++k)
      if (singly(k)) {
        dearest = std::max(dearest, problem_.cutting.stock[k].cost);
        unit_ = std::gcd(unit_, problem_.cutting.stock[k].cost);
      }
    for (const Bundle& one : problem_.bundles) {
      std::int64_t most = (wanted + one.count - 1) / one.count;
      if (const auto limit = stock_of(one).limit) most = std::min(most, *limit / one.count);
      most_.push_back(most);
      all += static_cast<__int128>(most) * one.cost;
      dearest = std::max(dearest, (one.cost + one.count - 1) / one.count);
      unit_ = std::gcd(unit_, one.cost);
      if (least_multiple <= kMostScale) least_multiple = std::lcm(least_multiple, one.count);
    }
    unit_ = std::max<std::int64_t>(unit_, 1);
    all += static_cast<__int128>(dearest) * wanted;
    if (all > kMostSum) return false;
    const std::int64_t room =
        std::min(kMostSum / std::max<std::int64_t>(static_cast<std::int64_t>(all), 1), kMostCost / dearest);
    scale_ = least_multiple <= std::min(kMostScale, room) ? least_multiple : std::min(kCoarseScale, room);
    return true;
  }

  const cutting::Stock& stock_of(const Bundle& one) const {
    return problem_.cutting.stock[static_cast<std::size_t>(one.stock)];
  }
  bool singly(std::size_t k) const {
    return std::find(problem_.not_singly.begin(), problem_.not_singly.end(), static_cast<int>(k)) ==
           problem_.not_singly.end();
  }
  bool is_of(std::size_t i, std::size_t k) const { return static_cast<std::size_t>(bundle(i).stock) == k; }

  // ---- a node -------------------------------------------------------------------------------------------------------

  bool hopeless(const Node& node) const { return best_ && unscaled(node.bound) >= best_->result.cost; }

  /// The lengths that a stock's bundles hold.
  std::int64_t held(std::size_t k, const Counts& bundles) const {
    std::int64_t lengths = 0;
    for (std::size_t i = 0; i < kinds(); ++i)
      if (is_of(i, k)) lengths += bundles[i] * bundle(i).count;
    return lengths;
  }

  /// Draws the ranges in to what limits leave; false when they leave nothing.
  bool within_limits(Node& node) const {
    for (std::size_t k = 0; k < stocks(); ++k) {
      const auto limit = problem_.cutting.stock[k].limit;
      if (!limit) continue;
      const std::int64_t room = *limit - held(k, node.low);
      if (room < 0) return false;
      for (std::size_t i = 0; i < kinds(); ++i)
        if (is_of(i, k)) node.high[i] = std::min(node.high[i], node.low[i] + room / bundle(i).count);
    }
    return true;
  }

  /// The node's cutting problem, in scaled costs.
  Problem relaxed_problem(const Node& node, std::vector<Entry>& entries) const {
    Problem relaxed;
    relaxed.kerf = problem_.cutting.kerf;
    relaxed.trim = problem_.cutting.trim;
    std::vector<std::vector<int>> entries_of(stocks());
    for (std::size_t k = 0; k < stocks(); ++k) {
      const cutting::Stock& stock = problem_.cutting.stock[k];
      const auto add = [&](Entry entry, std::int64_t cost, std::optional<std::int64_t> limit) {
        entries_of[k].push_back(static_cast<int>(entries.size()));
        entries.push_back(entry);
        relaxed.stock.push_back({stock.length, cost, limit, stock.off_cut});
      };
      const std::int64_t bought = held(k, node.low);
      if (bought > 0) add({Entry::Kind::on_hand, static_cast<int>(k)}, 0, bought);
      for (std::size_t i = 0; i < kinds(); ++i)
        if (is_of(i, k) && node.high[i] > node.low[i])
          add({Entry::Kind::bundled, static_cast<int>(k), static_cast<int>(i)},
              static_cast<std::int64_t>(static_cast<__int128>(bundle(i).cost) * scale_ / bundle(i).count),
              (node.high[i] - node.low[i]) * bundle(i).count);
      std::optional<std::int64_t> limit = stock.limit;
      if (limit) *limit -= bought;
      // Kept with limit 0 where it is not sold: pieces that come from here alone must name something.
      if (singly(k))
        add({Entry::Kind::single, static_cast<int>(k)}, scaled(stock.cost), limit);
      else
        add({Entry::Kind::single, static_cast<int>(k)}, 0, 0);
    }
    const auto renamed = [&](const std::vector<int>& only_from) {
      std::vector<int> names;
      for (const int k : only_from) {
        const auto& of = entries_of[static_cast<std::size_t>(k)];
        names.insert(names.end(), of.begin(), of.end());
      }
      return names;
    };
    relaxed.pieces = problem_.cutting.pieces;
    for (cutting::Piece& piece : relaxed.pieces) {
      piece.only_from = renamed(piece.only_from);
      for (cutting::Way& way : piece.alternatives) way.only_from = renamed(way.only_from);
    }
    return relaxed;
  }

  Relaxed relax(const Node& node) {
    Relaxed relaxed;
    for (std::size_t i = 0; i < kinds(); ++i) relaxed.fixed += node.low[i] * bundle(i).cost;
    const std::int64_t below = best_ ? best_->result.cost - unit_ : options_.at_most.value_or(kNone);
    if (below < relaxed.fixed) {
      relaxed.result.verdict = Verdict::infeasible;
      return relaxed;
    }
    const Problem problem = relaxed_problem(node, relaxed.entries);
    const std::int64_t share = options_.work_limit / (first_ ? kFirstShare : kShare);
    cutting::Options options = part(share > (kNone >> 2 * node.effort) ? kNone : share << 2 * node.effort);
    if (below != kNone) options.at_most = scaled(below - relaxed.fixed);
    // Not rounded up, though purchases cost no less: fractions of bundles may, and the kernel takes that as a promise.
    options.known_lower_bound = std::max<std::int64_t>(0, node.bound - scaled(relaxed.fixed));
    first_ = false;
    relaxed.result = cutting::solve(problem, options);
    count(relaxed.result);
    return relaxed;
  }

  /// Looks at a node: a purchase may come of it, and two halves. A problem that the kernel refuses comes back.
  std::optional<Purchase> look_at(Node node) {
    ++nodes_;
    work_ += kNodeWork;
    if (!within_limits(node)) return std::nullopt;
    const bool whole_problem = node.order == 0;
    Relaxed relaxed = relax(node);
    const cutting::Result& result = relaxed.result;
    if (result.verdict == Verdict::refused) {
      Purchase refusal;
      refusal.result = std::move(relaxed.result);
      return refusal;
    }
    if (result.verdict == Verdict::infeasible) {
      if (whole_problem) why_not_ = result.diagnostics;
      return std::nullopt;
    }
    node.bound = std::max(node.bound, scaled(relaxed.fixed) + result.lower_bound);
    if (result.verdict == Verdict::unknown) {
      halve_widest(std::move(node));
      return std::nullopt;
    }
    const Counts used = used_of_bundles(relaxed);
    offer(relaxed, node, used);
    if (hopeless(node)) return std::nullopt;
    split(std::move(node), used, result.optimal);
    return std::nullopt;
  }

  Counts used_of_bundles(const Relaxed& relaxed) const {
    Counts used(kinds(), 0);
    for (const Layout& layout : relaxed.result.layouts) {
      const Entry& entry = relaxed.entries[static_cast<std::size_t>(layout.stock)];
      if (entry.kind == Entry::Kind::bundled) used[static_cast<std::size_t>(entry.bundle)] += layout.count;
    }
    return used;
  }

  void split(Node node, const Counts& used, bool optimal) {
    // The bundle of which most would be paid for and not cut.
    std::size_t at = kinds();
    double most = 0;
    for (std::size_t i = 0; i < kinds(); ++i) {
      const std::int64_t over = used[i] % bundle(i).count;
      if (over == 0) continue;
      const double idle = static_cast<double>(bundle(i).count - over) / static_cast<double>(bundle(i).count) *
                          (static_cast<double>(bundle(i).cost) + 1);
      if (at == kinds() || idle > most) at = i, most = idle;
    }
    if (at < kinds()) return halve(std::move(node), at, node.low[at] + used[at] / bundle(at).count);
    // Whole bundles: what is open is whether the kernel's plan is the cheapest,
    if (!optimal) return look_again(std::move(node));
    // or whether limits that bundles share are kept to, or costs were rounded.
    for (std::size_t i = 0; i < kinds(); ++i)
      if (used[i] > 0) return halve(std::move(node), i, node.low[i] + used[i] / bundle(i).count - 1);
    look_again(std::move(node));
  }

  /// Up to `last` of a kind of bundle, or more.
  void halve(Node node, std::size_t i, std::int64_t last) {
    Node more = node;
    node.high[i] = last;
    more.low[i] = last + 1;
    node.effort = more.effort = 0;
    if (more.low[i] <= more.high[i]) put(std::move(more));
    if (node.low[i] <= node.high[i]) put(std::move(node));
  }

  void halve_widest(Node node) {
    std::size_t widest = 0;
    for (std::size_t i = 1; i < kinds(); ++i)
      if (node.high[i] - node.low[i] > node.high[widest] - node.low[widest]) widest = i;
    if (node.high[widest] == node.low[widest]) return look_again(std::move(node));
    const std::int64_t middle = node.low[widest] + (node.high[widest] - node.low[widest]) / 2;
    halve(std::move(node), widest, middle);
  }

  void look_again(Node node) {
    if (++node.effort > kMostEffort) return leave(node);
    put(std::move(node));
  }

  void put(Node node) {
    if (open_.size() >= kMostOpen) return leave(node);
    node.order = ++put_;
    open_.push(std::move(node));
  }

  void leave(const Node& node) { left_ = std::min(left_, node.bound); }

  // ---- a purchase ---------------------------------------------------------------------------------------------------

  /// The kernel's cuts with the cheapest bundles that hold what they cut.
  void offer(const Relaxed& relaxed, const Node& node, const Counts& used) {
    Counts cut(stocks(), 0), bundles(kinds(), 0);
    for (const Layout& layout : relaxed.result.layouts)
      cut[static_cast<std::size_t>(relaxed.entries[static_cast<std::size_t>(layout.stock)].stock)] += layout.count;
    for (std::size_t i = 0; i < kinds(); ++i)
      bundles[i] = node.low[i] + (used[i] + bundle(i).count - 1) / bundle(i).count;
    for (std::size_t k = 0; k < stocks(); ++k) take_cheapest(k, cut[k], bundles);
    if (!can_be_bought(cut, bundles)) return;
    const std::int64_t cost = cost_of(cut, bundles);
    if (best_ ? cost >= best_->result.cost : cost > options_.at_most.value_or(kNone)) return;
    best_.emplace();
    best_->result.layouts = in_stocks(relaxed.result.layouts, relaxed.entries);
    best_->bundles = std::move(bundles);
    settle(cut);
  }

  bool can_be_bought(const Counts& cut, const Counts& bundles) const {
    for (std::size_t k = 0; k < stocks(); ++k) {
      const std::int64_t lengths = held(k, bundles), singles = std::max<std::int64_t>(0, cut[k] - lengths);
      if (singles > 0 && !singly(k)) return false;
      if (const auto limit = problem_.cutting.stock[k].limit; limit && lengths + singles > *limit) return false;
    }
    return true;
  }

  std::int64_t cost_of(const Counts& cut, const Counts& bundles) const {
    std::int64_t cost = 0;
    for (std::size_t i = 0; i < kinds(); ++i) cost += bundles[i] * bundle(i).cost;
    for (std::size_t k = 0; k < stocks(); ++k)
      cost += std::max<std::int64_t>(0, cut[k] - held(k, bundles)) * problem_.cutting.stock[k].cost;
    return cost;
  }

  /// Sets what follows from bundles and layouts.
  void settle(const Counts& cut) {
    best_->singles.assign(stocks(), 0);
    best_->spare.assign(stocks(), 0);
    for (std::size_t k = 0; k < stocks(); ++k) {
      const std::int64_t lengths = held(k, best_->bundles);
      best_->singles[k] = std::max<std::int64_t>(0, cut[k] - lengths);
      best_->spare[k] = std::max<std::int64_t>(0, lengths - cut[k]);
    }
    best_->result.cost = cost_of(cut, best_->bundles);
  }

  /// The least-cost bundles and singles that hold at least `cut` lengths of a stock; among equals the fewest lengths.
  /// By dynamic programming over exactly so many lengths; numbers too large for that keep what they have.
  void take_cheapest(std::size_t k, std::int64_t cut, Counts& bundles) {
    std::int64_t longest = 1, ways = 1;
    for (std::size_t i = 0; i < kinds(); ++i)
      if (is_of(i, k)) longest = std::max(longest, bundle(i).count), ++ways;
    if (ways == 1 || cut > kMostTable || longest > kMostTable) return;
    const cutting::Stock& stock = problem_.cutting.stock[k];
    const std::int64_t most = std::min(cut + longest - 1, stock.limit.value_or(kNone));
    if (most < cut) return;
    struct Best {
      std::int64_t cost = kNone;
      int last = -1;  // the bundle taken last; none: a single
    };
    std::vector<Best> exactly(static_cast<std::size_t>(most) + 1);
    exactly[0].cost = 0;
    work_ += most * ways;
    for (std::int64_t n = 1; n <= most; ++n) {
      Best& best = exactly[static_cast<std::size_t>(n)];
      const auto consider = [&](std::int64_t count, std::int64_t cost, int what) {
        if (count > n) return;
        const std::int64_t rest = exactly[static_cast<std::size_t>(n - count)].cost;
        if (rest != kNone && rest + cost < best.cost) best = {rest + cost, what};
      };
      for (std::size_t i = 0; i < kinds(); ++i)
        if (is_of(i, k)) consider(bundle(i).count, bundle(i).cost, static_cast<int>(i));
      if (singly(k)) consider(1, stock.cost, -1);
    }
    std::int64_t at = cut;
    for (std::int64_t n = cut + 1; n <= most; ++n)
      if (exactly[static_cast<std::size_t>(n)].cost < exactly[static_cast<std::size_t>(at)].cost) at = n;
    if (exactly[static_cast<std::size_t>(at)].cost == kNone) return;
    for (std::size_t i = 0; i < kinds(); ++i)
      if (is_of(i, k)) bundles[i] = 0;
    while (at > 0) {
      const int last = exactly[static_cast<std::size_t>(at)].last;
      if (last >= 0) ++bundles[static_cast<std::size_t>(last)];
      at -= last >= 0 ? bundle(static_cast<std::size_t>(last)).count : 1;
    }
  }

  /// Layouts of entries as layouts of stocks, equal ones put together.
  static std::vector<Layout> in_stocks(const std::vector<Layout>& layouts, const std::vector<Entry>& entries) {
    std::vector<Layout> merged;
    for (Layout layout : layouts) {
      layout.stock = entries[static_cast<std::size_t>(layout.stock)].stock;
      const auto same = std::find_if(merged.begin(), merged.end(), [&](const Layout& known) {
        return known.stock == layout.stock && known.cuts == layout.cuts;
      });
      if (same != merged.end())
        same->count += layout.count;
      else
        merged.push_back(std::move(layout));
    }
    std::stable_sort(merged.begin(), merged.end(), [](const Layout& a, const Layout& b) { return a.stock < b.stock; });
    return merged;
  }

  /// Lengths from a bundle cost the kernel nothing, so it may cut into more of them than need be. Of what is bought,
  /// the least length is cut: whole ones left over are worth more than off-cuts.
  void cut_no_more_than_needed() {
    Problem bought = problem_.cutting;
    Counts cut(stocks(), 0);
    for (const Layout& layout : best_->result.layouts) cut[static_cast<std::size_t>(layout.stock)] += layout.count;
    __int128 most = 0;
    for (std::size_t k = 0; k < stocks(); ++k) {
      const bool bundled = held(k, best_->bundles) > 0;
      cutting::Stock& stock = bought.stock[k];
      stock.cost = bundled ? stock.length : 0;
      stock.limit = bundled ? held(k, best_->bundles) + best_->singles[k] : cut[k];
      most += static_cast<__int128>(stock.cost) * cut[k];
    }
    if (most == 0 || most > kMostSum) return;
    cutting::Options options = part(kSpareWork);
    options.at_most = static_cast<std::int64_t>(most) - 1;
    cutting::Result least = cutting::solve(bought, options);
    count(least);
    if (least.verdict != Verdict::solved) return;
    best_->result.layouts = std::move(least.layouts);
    Counts less(stocks(), 0);
    for (const Layout& layout : best_->result.layouts) less[static_cast<std::size_t>(layout.stock)] += layout.count;
    settle(less);
  }

  // ---- work and the end ---------------------------------------------------------------------------------------------

  double seconds() const { return std::chrono::duration<double>(std::chrono::steady_clock::now() - start_).count(); }
  bool cancelled() const { return options_.cancel != nullptr && options_.cancel->load(std::memory_order_relaxed); }
  bool timed_out() const { return options_.seconds_limit > 0 && seconds() > options_.seconds_limit; }
  bool stopped() const { return work_ >= options_.work_limit || cancelled() || timed_out(); }

  cutting::Options part(std::int64_t work) const {
    cutting::Options options;
    options.work_limit = std::min(work, std::max<std::int64_t>(0, options_.work_limit - work_));
    if (options_.seconds_limit > 0) options.seconds_limit = std::max(1e-3, options_.seconds_limit - seconds());
    options.cancel = options_.cancel;
    options.threads = options_.threads;
    return options;
  }

  void count(const cutting::Result& result) {
    work_ += result.work;
    nodes_ += result.nodes;
  }

  std::int64_t lower_bound() const {
    std::int64_t scaled_bound = left_;
    if (!open_.empty()) scaled_bound = std::min(scaled_bound, open_.top().bound);
    const std::int64_t bound = scaled_bound == kNone ? kNone : unscaled(scaled_bound);
    return best_ ? std::min(bound, best_->result.cost) : bound;
  }

  void report() {
    if (!options_.on_progress || !best_) return;
    const cutting::Progress now{best_->result.cost, lower_bound(), seconds()};
    if (now.cost == told_.cost && now.lower_bound <= told_.lower_bound) return;
    told_ = now;
    options_.on_progress(now);
  }

  Purchase outcome() {
    const std::int64_t bound = lower_bound();
    Purchase purchase;
    if (best_) {
      cut_no_more_than_needed();
      purchase = *best_;
      purchase.result.verdict = Verdict::solved;
      purchase.result.lower_bound = std::min(bound, purchase.result.cost);
      purchase.result.optimal = purchase.result.lower_bound == purchase.result.cost;
    } else if (bound == kNone) {
      purchase.result.verdict = Verdict::infeasible;
      purchase.result.lower_bound = options_.at_most.value_or(0);
      purchase.result.diagnostics = why_infeasible();
    } else {
      purchase.result.verdict = Verdict::unknown;
      purchase.result.lower_bound = bound;
    }
    const bool proven = purchase.result.optimal || purchase.result.verdict == Verdict::infeasible;
    if (!proven) purchase.result.stop = cancelled() ? Stop::cancelled : timed_out() ? Stop::time : Stop::work;
    purchase.result.nodes = nodes_;
    purchase.result.work = work_;
    purchase.result.seconds = seconds();
    return purchase;
  }

  Diagnostics why_infeasible() const {
    if (options_.at_most)
      return {{Severity::error,
               "no-plan-so-cheap",
               fmt::format("no plan costs {} or less", *options_.at_most),
               "allow more",
               {}}};
    if (!why_not_.empty()) return why_not_;
    return {{Severity::error,
             "not-enough-stock",
             "the limits on stock leave too few whole bundles for all pieces",
             "raise a limit or add a length without one",
             {}}};
  }

  const BundleProblem& problem_;
  const cutting::Options& options_;
  std::chrono::steady_clock::time_point start_;
  Counts most_;  // bundles that could be of use, by kind
  std::int64_t scale_ = 1, unit_ = 0;
  std::priority_queue<Node, std::vector<Node>, CheapestFirst> open_;
  std::optional<Purchase> best_;
  std::int64_t left_ = kNone;  // least scaled bound of nodes that were left open
  std::int64_t put_ = 0, nodes_ = 0, work_ = 0;
  bool first_ = true;
  Diagnostics why_not_;
  cutting::Progress told_;
};

}  // namespace

Purchase solve(const BundleProblem& problem, const cutting::Options& asked) {
  cutting::Options options = asked;
  if (const auto left = seconds_left()) {  // whoever waits for several purchases waits no longer for one of them
    constexpr double kOnce = 1e-3;
    const double all = std::max(*left, kOnce);
    options.seconds_limit = options.seconds_limit > 0 ? std::min(options.seconds_limit, all) : all;
  }
  if (!problem.bundles.empty() || !problem.not_singly.empty()) return BundleSearch(problem, options).run();
  Purchase purchase;
  purchase.result = cutting::solve(problem.cutting, options);
  purchase.singles.assign(problem.cutting.stock.size(), 0);
  purchase.spare.assign(problem.cutting.stock.size(), 0);
  for (const Layout& layout : purchase.result.layouts)
    purchase.singles[static_cast<std::size_t>(layout.stock)] += layout.count;
  return purchase;
}

}  // namespace garthwright::buying
