// SPDX-License-Identifier: Apache-2.0
#include "cutting/search.h"

#include <algorithm>
#include <atomic>
#include <future>
#include <limits>

#include "cutting/branch.h"
#include "cutting/column_generation.h"
#include "cutting/dive.h"
#include "cutting/full_patterns.h"
#include "cutting/greedy.h"
#include "cutting/lower_bound.h"
#include "cutting/pairs.h"
#include "cutting/pattern_list.h"
#include "cutting/rest.h"
#include "cutting/stock_mix.h"

namespace garthwright::cutting {
namespace {

constexpr int kGreedyPasses = 8;
constexpr int kPassesOfSeveral = 1;  // with several kinds of bars the first bound is rarely met, however good the plan
constexpr std::int64_t kShortDive = 3'000'000;
constexpr int kFirstDives = 2;
constexpr std::int64_t kShare = 100'000'000;  // work of dives, and of pairs, at least, before the other has its turn
constexpr int kRowsPerRound = 16;             // of full patterns
constexpr int kFewRows = 30;                  // a mix is decided about as soon as the relaxation is rounded
constexpr int kMostDepth = 1;
constexpr std::int64_t kEndEffort = 8;                       // times the work of the dive
constexpr std::int64_t kShortestEnd = 16, kLongestEnd = 50;  // bars left where the end of a dive is searched again
constexpr int kMostRows = 2000;  // more different lengths than this are only filled greedily
constexpr int kMostEffort = 20;
constexpr int kMostWiden = 12;  // limits below are for the first look at a mix; each further one has twice as much
constexpr std::size_t kMostMixes = 20'000;
constexpr std::size_t kMostPatterns = 20'000;
constexpr std::int64_t kFirstShare = 32;
constexpr int kMostSharpenings = 30;
constexpr std::size_t kHandful = 16;
constexpr int kLeans = 4;
constexpr std::int64_t kPairNodes = 40;  // at the first look at one of several mixes
constexpr std::size_t kPairPatterns = 5'000;
constexpr std::int64_t kPackNodes = 1'000;

class Search {
 public:
  Search(const Model& model, const Window& window, const Report& report, Work& work, int threads, int depth = 0)
      : model_(model),
        report_(report),
        work_(work),
        threads_(threads),
        depth_(depth),
        pricer_(model),
        bound_(window.known_bound) {
    std::int64_t everything = 0;
    for (const Bar& bar : model.bars) everything = std::min(kNoCost - 1, everything + bar.cost * bar.limit);
    most_cost_ = std::min(everything, window.at_most);
  }

  Outcome run() {
    cuts_.push_back(length_prices(model_));
    raise_bound(cost_bound(model_, all_of(model_), cuts_.back()));
    if (model_.kinds() == 1) raise_bound(cost_bound(model_, all_of(model_), step_prices(model_)));
    const int passes = model_.kinds() > 1 ? kPassesOfSeveral : kGreedyPasses;
    offer(greedy_plan(model_, all_of(model_), passes, bound_, work_, &met_));
    const bool small = model_.rows() <= kMostRows;
    if (small && !done()) relax();
    for (; small && !done() && effort_ <= kMostEffort; ++effort_) search_mixes();
    Outcome outcome;
    outcome.infeasible = !plan_ && bound_ > most_cost_;
    outcome.bound = plan_ ? std::min(bound_, plan_->cost) : std::min(bound_, most_cost_);
    outcome.plan = std::move(plan_);
    outcome.nodes = nodes_;
    return outcome;
  }

 private:
  static constexpr std::int64_t kNoCost = std::numeric_limits<std::int64_t>::max() / 4;

  int widen() const { return std::min(effort_, kMostWiden); }
  std::int64_t upper() const { return plan_ ? plan_->cost : most_cost_ + 1; }
  bool done() { return bound_ >= upper() || work_.over(); }

  void raise_bound(std::int64_t bound) {
    bound = std::min(bound, upper());
    if (bound <= bound_) return;
    bound_ = bound;
    if (plan_) report_(plan_->cost, bound_);
  }

  void offer(const std::optional<Plan>& plan) {
    if (!plan || plan->cost >= upper()) return;
    plan_ = plan;
    report_(plan_->cost, bound_);
  }

  // One pattern per item and the patterns of the greedy plans.
  void seed_pool() {
    for (int j = 0; j < static_cast<int>(model_.items.size()); ++j) {
      const Item& item = model_.items[j];
      for (int k = 0; k < model_.kinds(); ++k) {
        if (!model_.takes(k, j) || item.length > model_.bars[k].length) continue;
        const std::int64_t count =
            std::min(model_.bars[k].length / item.length, (model_.demand[item.row] + item.yield - 1) / item.yield);
        pool_.add({k, {{j, count}}});
      }
    }
    for (const Pattern& pattern : met_) pool_.add(pattern);
    if (model_.kinds() != 1) return;
    const std::vector<std::int64_t> least{bound_ / std::max<std::int64_t>(1, model_.bars.front().cost)};
    const __int128 waste = mix_slack(model_, cuts_.front(), least);
    if (waste >= model_.items.back().length) return;
    for (const Pattern& pattern :
         full_patterns(model_, static_cast<std::int64_t>(waste), model_.rows() / kRowsPerRound, pricer_, work_))
      pool_.add(pattern);
  }

  std::vector<double> costs() const {
    std::vector<double> cost;
    for (const Bar& bar : model_.bars) cost.push_back(static_cast<double>(bar.cost));
    return cost;
  }

  void relax() {
    seed_pool();
    root_.emplace(model_, all_of(model_), costs(), pool_, pricer_);
    Relaxation& relaxation = *root_;
    const bool one_kind = model_.kinds() == 1;
    relaxation.generate(work_, [&](const Prices& prices, double value) {
      const std::int64_t bound = cost_bound(model_, relaxation.remainder(), prices);
      if (bound >= bound_ && bound > 0) best_prices_ = prices;
      raise_bound(bound);
      // Where the value is whole but for rounding, only the last prices tell on which side it is.
      return done() || (one_kind && static_cast<double>(bound_) > value + 1e-6);
    });
    if (best_prices_.price.empty()) best_prices_ = relaxation.prices();
    cuts_.push_back(best_prices_);
    // Of several kinds the relaxation buys fractions: most often a mix has a better plan soon, and any will do before.
    // With many rows, though, a mix takes far longer than the roundings.
    if (!done()) round_root(one_kind || model_.rows() > kFewRows);
  }

  void round_root(bool thorough) {
    offer(round_plan(model_, *root_, pool_, bound_, thorough, work_));
    rounded_ = thorough;
  }

  // False: none of the tries reached the target within the work. Each try starts from another solution of the
  // relaxation.
  bool dive_often(const Relaxation& relaxation, int tries, std::int64_t target, Work& work) {
    for (int t = 0; t < tries && bound_ < upper() && !work.over(); ++t) {
      const std::int64_t before = work.spent();
      Relaxation start = relaxation;
      if (dives_ > 0) start.stir(dives_, work);
      ++dives_;
      const Dive way = dive(model_, std::move(start), pool_, target, work);
      offer(way.best);
      if (upper() > target) search_end(way, target, kEndEffort * (work.spent() - before), work);
      if (upper() <= target) return true;
      if (!way.chose) break;
    }
    return false;
  }

  // The same within this search's own work.
  bool dive_often(const Relaxation& relaxation, int tries, std::int64_t target, std::int64_t share) {
    Work part = work_.part(share);
    const bool found = dive_often(relaxation, tries, target, part);
    work_.spend(part.spent());
    return found;
  }

  // The end of a dive that missed its target, as a problem of its own: from ever further back, each for a few
  // times the work of the dive.
  void search_end(const Dive& way, std::int64_t target, std::int64_t effort, Work& work) {
    if (depth_ >= kMostDepth) return;
    std::int64_t back = kShortestEnd;
    for (std::size_t s = way.steps.size(); s-- > 0 && back <= kLongestEnd && !work.over();) {
      const Dive::Step& step = way.steps[s];
      if (step.cost >= target || step.cost == 0 || bars_for(step.left) < back) continue;
      back = 2 * bars_for(step.left);
      const Rest rest = rest_of(model_, step.left);
      Work part = work.part(effort);
      const Report none = [](std::int64_t, std::int64_t) {};
      Search search(rest.model, {0, target - step.cost}, none, part, 1, depth_ + 1);
      const Outcome end = search.run();
      work.spend(part.spent());
      nodes_ += end.nodes;
      if (!end.plan) continue;
      offer(with_end(way.taken, step, rest.in_whole(*end.plan)));
      return;
    }
  }

  // How many bars the pieces left over would fill.
  std::int64_t bars_for(const Remainder& left) const {
    std::int64_t length = 0;
    for (const Item& item : model_.items)
      if (left.demand[item.row] > 0) length += item.length * left.demand[item.row] / item.yield;
    return length / model_.bars.front().length;
  }

  // Mixes in order of cost between bound and plan: each is refuted, packed, or left open.
  void search_mixes() {
    bool open = false;
    std::int64_t low = bound_;
    // The cheapest first, a few at a time: most often a plan is among them, and listing all would take the longest.
    std::int64_t width = std::max<std::int64_t>(1, (upper() - low) / kFirstShare);
    for (; low < upper() && !work_.over(); width *= 2) {
      std::int64_t high = std::min(upper() - 1, low + width - 1);
      std::optional<std::vector<Mix>> mixes = sharpen_cuts(low, high);
      std::vector<Mix> some;
      while (!mixes) {
        mixes = list_mixes(model_, low, high, cuts_, kMostMixes << widen(), work_, &some);
        if (mixes || high == low || work_.over()) break;
        high = low + (high - low) / 2;
      }
      if (!mixes) {
        try_some(some);
        return;
      }
      for (const Mix& mix : *mixes) {
        if (mix.cost >= upper()) break;
        if (!open) raise_bound(mix.cost);
        const Packing packing = decide(mix);
        if (packing == Packing::unknown) open = true;
        if (work_.over()) return;
      }
      low = high + 1;
      if (!open) raise_bound(std::min(low, upper()));
    }
  }

  // Where even the cheapest mixes are too many to list, each of them may well hold everything.
  void try_some(const std::vector<Mix>& mixes) {
    const std::size_t every = mixes.size() / kHandful + 1;
    for (std::size_t m = 0; m < mixes.size() && !done(); m += every) decide(mixes[m]);
  }

  // A few prices leave many mixes, of which most are cut off by the price that refutes one of them: a handful is looked
  // at, and the first refuted, before all are listed. Returned if they are no more than that.
  std::optional<std::vector<Mix>> sharpen_cuts(std::int64_t low, std::int64_t high) {
    for (int round = 0; round < kMostSharpenings && !work_.over(); ++round) {
      std::vector<Mix> some;
      std::optional<std::vector<Mix>> all = list_mixes(model_, low, high, cuts_, kHandful, work_, &some);
      if (all || some.empty()) return all;
      ++nodes_;
      Relaxation relaxation = root_->within(some.front().bars, work_);
      if (holds_by_fractions(relaxation, some.front()) || !refutes(relaxation, some.front())) break;
    }
    return std::nullopt;
  }

  // Whether the patterns at hand, used by fractions, fit into the mix: no prices refute it then.
  static bool holds_by_fractions(const Relaxation& within, const Mix& mix) {
    return !within.lacking() && within.value() <= static_cast<double>(mix.cost) + 1e-6;
  }

  // Whether prices show that the mix cannot hold everything; they are kept.
  bool refutes(Relaxation& relaxation, const Mix& mix, Relaxation::End* end = nullptr) {
    const Relaxation::End ended = relaxation.generate(
        work_, [&](const Prices& prices, double) { return mix_slack(model_, prices, mix.bars) < 0; });
    if (end != nullptr) *end = ended;
    if (ended != Relaxation::End::decided) return false;
    cuts_.push_back(relaxation.prices());
    return true;
  }

  bool refuted_before(const Mix& mix) const {
    for (std::size_t q = cuts_.size(); q-- > 0;)
      if (mix_slack(model_, cuts_[q], mix.bars) < 0) return true;
    return std::any_of(refuted_.begin(), refuted_.end(),
                       [&](const Mix& other) { return contained(model_, mix.bars, other.bars); });
  }

  Packing decide(const Mix& mix) {
    if (refuted_before(mix)) return Packing::refuted;
    ++nodes_;
    if (settled_by_root(mix)) return remember(mix, pack_mix(mix, *root_, *root_, false));
    std::optional<Relaxation> within;
    bool dived = false;
    if (model_.kinds() > 1) {
      within.emplace(root_->within(mix.bars, work_));
      const bool may_hold = effort_ == 0 && holds_by_fractions(*within, mix);
      if (!may_hold && refutes(*within, mix)) return Packing::refuted;
      if (dive_soon(*within, mix, dived)) return Packing::found;
      if (!rounded_) round_root(true);  // what follows may take long
      if (upper() <= mix.cost) return Packing::found;
    }
    Relaxation relaxation = Relaxation::of_mix(model_, mix.bars, pool_, pricer_, 0, work_);
    Relaxation::End end{};
    if (refutes(relaxation, mix, &end)) return Packing::refuted;
    if (end == Relaxation::End::work) return Packing::unknown;
    return remember(mix, pack_mix(mix, std::move(relaxation), std::move(within), dived));
  }

  Packing remember(const Mix& mix, Packing packing) {
    if (packing == Packing::refuted) refuted_.push_back(mix);
    return packing;
  }

  // With one kind of bar, in plenty, the relaxation of the whole is the mix's as well.
  bool settled_by_root(const Mix& mix) const {
    return model_.kinds() == 1 && root_ && root_->plenty() && root_->value() <= static_cast<double>(mix.cost) + 1e-6;
  }

  // Of many mixes most that hold everything show it in a short dive, before their patterns are listed. `dived`: it
  // ended within its time.
  bool dive_soon(const Relaxation& within, const Mix& mix, bool& dived) {
    const std::int64_t before = work_.spent();
    const bool found = effort_ == 0 && dive_often(within, 1, mix.cost, kShortDive);
    dived = work_.spent() < before + kShortDive;
    return found;
  }

  // `relaxation` has been solved for the mix; `within`, in its cost form, too where it is given, and perhaps dived
  // from.
  Packing pack_mix(const Mix& mix, Relaxation relaxation, std::optional<Relaxation> within, bool dived) {
    const Remainder remainder{model_.demand, mix.bars};
    const Prices prices = relaxation.prices();
    std::vector<double> value;
    for (std::int64_t p : prices.price) value.push_back(static_cast<double>(p));
    for (const bool anchored : {true, false}) {
      const std::optional<Plan> plan = fill_by_value(model_, remainder, value, anchored, work_);
      offer(plan);
      if (plan) return Packing::found;
    }
    if (!within) {
      within.emplace(model_, remainder, costs(), pool_, pricer_);
      within->generate(work_, [](const Prices&, double) { return false; });
      if (dive_soon(*within, mix, dived)) return Packing::found;
    }
    std::vector<Prices> filters{prices};
    for (const Prices& cut : cuts_)
      if (mix_slack(model_, cut, mix.bars) >= 0) filters.push_back(cut);
    Packing packing = pack_listed(mix, filters);
    if (packing != Packing::unknown) return packing;
    // Dives mostly end the search where there is a plan, pairs where there is none: they take turns, each for about as
    // long as everything before took.
    const std::int64_t share = std::max(kShare, work_.spent());
    packing = by_leaning(mix, relaxation, filters, work_.spent() + share / 4);
    if (packing != Packing::unknown || work_.over()) return packing;
    const int tries = effort_ > 0 ? std::numeric_limits<int>::max() : dived ? 0 : kFirstDives;
    begin_pairs(mix, relaxation);
    if (threads_ > 1 && decides_all(mix) && work_.left() >= 2 * share) return at_once(mix, *within, tries, share);
    if (dive_often(*within, tries, mix.cost, share)) return Packing::found;
    Work part = work_.part(share);
    const PackResult paired = pairs_->run(pair_limits(), part);
    work_.spend(part.spent());
    return take(paired);
  }

  // Whether the search ends with the mix, one way or the other.
  bool decides_all(const Mix& mix) const { return model_.kinds() == 1 && mix.cost + 1 == upper(); }

  // Dives and pairs at the same time. What they know of each other is only that the other has ended the search, so the
  // answer is the same as if dives had gone first: a plan by dives counts before one by pairs, and where there is none
  // only pairs can say so.
  Packing at_once(const Mix& mix, const Relaxation& within, int tries, std::int64_t share) {
    std::atomic<bool> found{false}, refuted{false};
    Work part = work_.part(share, &found);
    std::future<PackResult> second = std::async(std::launch::async, [&] {
      PackResult paired = pairs_->run(pair_limits(), part);
      if (paired.packing == Packing::refuted) refuted = true;
      return paired;
    });
    Work dives = work_.part(share, &refuted);
    found = dive_often(within, tries, mix.cost, dives);
    const PackResult paired = second.get();
    work_.spend(found ? dives.spent() : share + part.spent());
    if (found) return Packing::found;
    return take(paired);
  }

  // Other prices that are best too: each leaves fewer patterns to list.
  Packing by_leaning(const Mix& mix, Relaxation& relaxation, std::vector<Prices>& filters, std::int64_t until) {
    for (int leans = 1; leans <= kLeans << widen() && work_.spent() < until; ++leans) {
      relaxation.lean(leans, work_);
      if (relaxation.generate(work_, [](const Prices&, double) { return false; }) == Relaxation::End::work)
        return Packing::unknown;
      if (mix_slack(model_, relaxation.prices(), mix.bars) < 0) {
        cuts_.push_back(relaxation.prices());
        return Packing::refuted;
      }
      filters.push_back(relaxation.prices());
      if (leans < 3 || (leans & (leans - 1)) != 0) continue;
      filters.front() = mean_prices(mix, {filters.end() - leans, filters.end()});
      if (const Packing packing = pack_listed(mix, filters); packing != Packing::unknown) return packing;
    }
    return Packing::unknown;
  }

  // What was begun goes on where the same mix is looked at again. Begun before the dives it knows nothing of what they
  // find, whether they go first or at the same time.
  void begin_pairs(const Mix& mix, const Relaxation& relaxation) {
    if (!pairs_ || !std::ranges::equal(mix.bars, pairs_->mix()))
      pairs_.emplace(model_, mix.bars, pool_, relaxation.in_basis());
  }

  PairLimits pair_limits() const {
    return {.nodes = model_.kinds() == 1 ? std::numeric_limits<std::int64_t>::max() : kPairNodes << widen(),
            .listed_patterns = kPairPatterns << widen()};
  }

  Packing take(const PackResult& paired) {
    nodes_ += paired.nodes;
    if (paired.packing == Packing::found) offer(paired.plan);
    return paired.packing;
  }

  // Prices in the middle of others are best where those are, but fewer patterns are best by them.
  Prices mean_prices(const Mix& mix, std::span<const Prices> all) {
    std::vector<double> mean(model_.rows(), 0.0);
    for (const Prices& one : all) {
      double worth = 0;
      for (int k = 0; k < model_.kinds(); ++k)
        worth += static_cast<double>(one.worth[k]) * static_cast<double>(mix.bars[k]);
      for (int i = 0; i < model_.rows(); ++i) mean[i] += static_cast<double>(one.price[i]) / std::max(1.0, worth);
    }
    std::vector<std::int64_t> price;
    whole_prices(model_, mean, price);
    const std::vector<std::int64_t> none(model_.kinds(), std::numeric_limits<std::int64_t>::max()),
        limit(model_.kinds(), 1);
    return pricer_.offer(std::move(price), model_.demand, limit, none, false, work_).prices;
  }

  Packing pack_listed(const Mix& mix, std::span<const Prices> filters) {
    if (mix_slack(model_, filters.front(), mix.bars) < 0) {
      cuts_.push_back(filters.front());
      return Packing::refuted;
    }
    const std::optional<std::vector<Pattern>> patterns =
        useful_patterns(model_, mix.bars, filters, kMostPatterns << widen(), work_);
    if (!patterns) return Packing::unknown;
    PackResult result = pack(model_, mix.bars, *patterns, filters.front(), kPackNodes << widen(), work_);
    nodes_ += result.nodes;
    if (result.packing == Packing::found) offer(result.plan);
    return result.packing;
  }

  const Model& model_;
  const Report& report_;
  Work& work_;
  int threads_;
  int depth_;  // 1: the end of another search's dive
  Pricer pricer_;
  PatternPool pool_;
  std::vector<Pattern> met_;  // while filling greedily
  std::optional<Relaxation> root_;
  std::optional<Plan> plan_;
  std::int64_t bound_, most_cost_ = 0, nodes_ = 0;
  int effort_ = 0, dives_ = 0;
  bool rounded_ = false;  // the whole's relaxation, thoroughly
  std::optional<PairSearch> pairs_;
  Prices best_prices_;
  std::vector<Prices> cuts_;
  std::vector<Mix> refuted_;
};

}  // namespace

Outcome search(const Model& model, const Window& window, const Report& report, Work& work, int threads) {
  return Search(model, window, report, work, threads).run();
}

}  // namespace garthwright::cutting
