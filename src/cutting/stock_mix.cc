// SPDX-License-Identifier: Apache-2.0
#include "cutting/stock_mix.h"

#include <algorithm>
#include <numeric>

#include "cutting/lower_bound.h"

namespace garthwright::cutting {
namespace {

bool at_least_as_good(const Model& model, int a, int b) {
  if (model.bars[a].length < model.bars[b].length) return false;
  if (model.bars[a].family == model.bars[b].family) return true;
  const auto& takes_a = model.families[model.bars[a].family].takes;
  const auto& takes_b = model.families[model.bars[b].family].takes;
  for (std::size_t j = 0; j < takes_a.size(); ++j)
    if (takes_b[j] && !takes_a[j]) return false;
  return true;
}

// Whether one bar is as good as two others, and no dearer. What is free is in every mix and stands aside.
bool replaces_both(const Model& model, int whole, int a, int b) {
  const Bar &w = model.bars[whole], &x = model.bars[a], &y = model.bars[b];
  return x.cost > 0 && y.cost > 0 && w.cost <= x.cost + y.cost && w.length >= x.length + y.length &&
         at_least_as_good(model, whole, a) && at_least_as_good(model, whole, b);
}

class Lister {
 public:
  Lister(const Model& model, std::int64_t low, std::int64_t high, std::span<const Prices> prices, std::size_t most,
         Work& work)
      : model_(model), low_(low), high_(high), prices_(prices), most_(most), work_(work) {
    const int kinds = model.kinds();
    std::vector<int> order(kinds);
    for (const Prices& p : prices) {
      double need = 0;
      for (int i = 0; i < model.rows(); ++i)
        need += static_cast<double>(p.price[i]) * static_cast<double>(model.demand[i]);
      need_.push_back(need * (1 - 1e-9));
      std::iota(order.begin(), order.end(), 0);
      std::stable_sort(order.begin(), order.end(), [&](int a, int b) {
        const std::int64_t cost_a = model.bars[a].cost, cost_b = model.bars[b].cost;
        if (cost_a == 0 || cost_b == 0) return cost_a < cost_b;
        return static_cast<__int128>(p.worth[a]) * cost_b > static_cast<__int128>(p.worth[b]) * cost_a;
      });
      best_first_.insert(best_first_.end(), order.begin(), order.end());
    }
    for (int b = 0; b < kinds; ++b)
      for (int a = 0; a < kinds; ++a) {
        const bool tie = model.bars[a].cost == model.bars[b].cost && at_least_as_good(model, b, a);
        if (a != b && model.bars[a].limited && model.bars[a].cost <= model.bars[b].cost &&
            at_least_as_good(model, a, b) && (!tie || a < b))
          before_.push_back({a, b});
      }
    joined_.resize(kinds);
    for (int b = 0; b < kinds; ++b)
      for (int a = 0; a <= b; ++a)
        for (int whole = 0; whole < a; ++whole)
          if (replaces_both(model, whole, a, b)) joined_[b].push_back({whole, a});
  }

  std::optional<std::vector<Mix>> run(std::vector<Mix>* some) {
    mix_.bars.assign(model_.kinds(), 0);
    if (prices_.size() > kSteering) steering_ = prices_.size() - kSteering;
    have_.assign(prices_.size(), 0.0);
    descend(0, 0);
    std::stable_sort(found_.begin(), found_.end(), [](const Mix& a, const Mix& b) { return a.cost < b.cost; });
    if (complete_) return std::move(found_);
    if (some != nullptr) *some = std::move(found_);
    return std::nullopt;
  }

 private:
  void descend(int k, std::int64_t cost) {
    if (!complete_) return;
    if (k == model_.kinds()) {
      take(cost);
      return;
    }
    const Bar& bar = model_.bars[k];
    std::int64_t most = bar.limit, least = bar.cost == 0 ? bar.limit : 0;  // what is free is all in the mix
    if (bar.cost > 0) most = std::min(most, (high_ - cost) / bar.cost);
    for (const auto& [a, b] : before_)
      if (b == k && a < k && mix_.bars[a] < model_.bars[a].limit) most = std::min<std::int64_t>(most, least);
    for (const Joined& j : joined_[k])
      if (mix_.bars[j.whole] < model_.bars[j.whole].limit)
        most = std::min<std::int64_t>(most, j.other == k ? 1 : mix_.bars[j.other] > 0 ? 0 : most);
    // The last kind has to bring the cost up to what is asked for.
    if (k + 1 == model_.kinds() && bar.cost > 0)
      least = std::max(least, (std::max<std::int64_t>(0, low_ - cost) + bar.cost - 1) / bar.cost);
    for (std::int64_t n = most; n >= least && may_look(); --n) {
      const Reach reach = reach_with(k, n, cost);
      if (reach == Reach::never) break;
      if (reach == Reach::not_yet) continue;
      mix_.bars[k] = n;
      for (std::size_t q = steering_; q < prices_.size(); ++q)
        have_[q] += static_cast<double>(n) * static_cast<double>(prices_[q].worth[k]);
      descend(k + 1, cost + n * bar.cost);
      for (std::size_t q = steering_; q < prices_.size(); ++q)
        have_[q] -= static_cast<double>(n) * static_cast<double>(prices_[q].worth[k]);
    }
    mix_.bars[k] = 0;
  }

  bool may_look() {
    if (++looks_ > 50 * static_cast<std::int64_t>(most_)) complete_ = false;
    if (looks_ % kCheckEvery == 0) {
      work_.spend(kCheckEvery * static_cast<std::int64_t>(prices_.size() - steering_) * model_.kinds() * 2);
      if (work_.over()) complete_ = false;
    }
    return complete_;
  }

  /// Whether n of kind k leave a way to what every price asks for; never: fewer of it do not either.
  enum class Reach { yes, not_yet, never };

  Reach reach_with(int k, std::int64_t n, std::int64_t cost) const {
    for (std::size_t q = steering_; q < prices_.size(); ++q) {
      const double worth = worth_with(q, k, n, cost);
      if (worth >= need_[q]) continue;
      // Concave in n: where one more is worth more, one fewer is worth less. The margin is wider than rounding.
      const bool rises = n < model_.bars[k].limit && (n + 1) * model_.bars[k].cost <= high_ - cost &&
                         worth_with(q, k, n + 1, cost) > worth + 1e-6 * need_[q];
      return rises ? Reach::never : Reach::not_yet;
    }
    return Reach::yes;
  }

  double worth_with(std::size_t q, int k, std::int64_t n, std::int64_t cost) const {
    return have_[q] + static_cast<double>(n) * static_cast<double>(prices_[q].worth[k]) +
           most_worth(q, k + 1, high_ - cost - n * model_.bars[k].cost);
  }

  // By price q, what the bars from k on can be worth for `money`: dearest worth first, fractions allowed.
  double most_worth(std::size_t q, int k, std::int64_t money) const {
    double worth = 0;
    const auto kinds = static_cast<std::size_t>(model_.kinds());
    for (std::size_t at = q * kinds; at < (q + 1) * kinds; ++at) {
      const int j = best_first_[at];
      if (j < k) continue;
      const Bar& bar = model_.bars[j];
      const auto each = static_cast<double>(prices_[q].worth[j]);
      // What is free comes even when no money is left.
      if (bar.cost > 0 && bar.cost * bar.limit >= money)
        return worth + each * static_cast<double>(money) / static_cast<double>(bar.cost) * (1 + 1e-9);
      worth += each * static_cast<double>(bar.limit);
      money -= bar.cost * bar.limit;
    }
    return worth * (1 + 1e-9);
  }

  void take(std::int64_t cost) {
    if (cost < low_ || cost > high_) return;
    for (const auto& [a, b] : before_)
      if (mix_.bars[b] > 0 && model_.bars[b].cost > 0 && mix_.bars[a] < model_.bars[a].limit) return;
    for (const Prices& p : prices_)
      if (mix_slack(model_, p, mix_.bars) < 0) return;
    mix_.cost = cost;
    found_.push_back(mix_);
    if (found_.size() > most_) complete_ = false;
  }

  const Model& model_;
  std::int64_t low_, high_;
  std::span<const Prices> prices_;
  std::size_t most_;
  Work& work_;
  std::vector<double> need_, have_;
  std::vector<int> best_first_;              // all kinds, for one price after another
  std::vector<std::pair<int, int>> before_;  // b only when a is used up
  struct Joined {
    int whole, other;  // this kind and the other are not both in the mix unless `whole` is used up
  };
  std::vector<std::vector<Joined>> joined_;  // by kind; bars are longest first, so whole < other <= kind
  Mix mix_;
  std::vector<Mix> found_;
  // The latest prices steer; all are asked in the end.
  static constexpr std::size_t kSteering = 16;
  static constexpr std::int64_t kCheckEvery = 1024;
  std::size_t steering_ = 0;
  std::int64_t looks_ = 0;
  bool complete_ = true;
};

}  // namespace

std::optional<std::vector<Mix>> list_mixes(const Model& model, std::int64_t low, std::int64_t high,
                                           std::span<const Prices> prices, std::size_t most, Work& work,
                                           std::vector<Mix>* some) {
  return Lister(model, low, high, prices, most, work).run(some);
}

bool contained(const Model& model, std::span<const std::int64_t> mix, std::span<const std::int64_t> other) {
  if (model.families.size() > 1) {
    for (std::size_t k = 0; k < mix.size(); ++k)
      if (mix[k] > other[k]) return false;
    return true;
  }
  std::int64_t spare = 0;  // bars are longest first
  for (std::size_t k = 0; k < mix.size(); ++k) {
    spare += other[k] - mix[k];
    if (spare < 0) return false;
  }
  return true;
}

}  // namespace garthwright::cutting
