// SPDX-License-Identifier: Apache-2.0
#include "decide/climb.h"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "decide/in_waves.h"

namespace garthwright::decide {
namespace {

constexpr std::size_t kPaired = 10;  // single changes that are tried in pairs where none helps by itself
constexpr int kOfOneChoice = 2;      // of them, at most
constexpr int kScattered = 12;       // beginnings by chance, where none of the first led anywhere
constexpr int kFruitless = 3;        // beginnings that may lead to nothing cheaper once something stands
constexpr double kCheaper = 0.99;    // of the cost: what is worth going on for
constexpr double kMuchBetter = 0.7;  // a step that leaves no more than this of the shortfall is taken at once
constexpr std::size_t kAtOnce = 4;   // cheaper ones that are looked at together, on two threads

class Climb {
 public:
  Climb(const Trials& trials, const SearchOptions& options, const std::function<bool()>& enough,
        const Patience& patience, Known& known, Kept& kept,
        const std::function<void(const Combination&, const Fixed&)>& found)
      : trials_(trials),
        opens_(trials.opens()),
        options_(options),
        enough_(enough),
        patience_(patience),
        known_(known),
        kept_(kept),
        found_(found) {}

  void run() {
    std::vector<Combination> starts = likely();
    if (!look_at({starts.front()}) || (!good(starts.front()) && !look_at(starts))) return;
    if (!good(starts.front()))
      std::stable_sort(starts.begin(), starts.end(), [&](const auto& a, const auto& b) { return rank(a) < rank(b); });
    for (int i = 0; i < kScattered; ++i) starts.push_back(scattered());
    int fruitless = 0;
    for (const Combination& start : starts) {
      if (enough_() || fruitless >= kFruitless) return;
      const std::optional<Money> before = least_;
      const std::optional<Combination> top = up(start);
      const bool stands = top && down(*top);
      if (stands && !options_.only_climb) return;
      const bool cheaper = least_ && (!before || least_->minor < kCheaper * static_cast<double>(before->minor));
      fruitless = cheaper ? 0 : fruitless + (least_ ? 1 : 0);
    }
  }

 private:
  using Look = Known::Look;

  std::uint16_t last(std::size_t i) const { return static_cast<std::uint16_t>(opens_[i].values.size() - 1); }

  /// The job as it is; what is said to be likely; with better holes; with stouter timber; with both; the middle and the
  /// last of all values.
  std::vector<Combination> likely() const {
    Combination now(opens_.size());
    for (std::size_t i = 0; i < opens_.size(); ++i)
      now[i] = static_cast<std::uint16_t>(opens_[i].now.value_or(opens_[i].values.size() / 2));
    const auto changed = [&](double holes, int stouter) {
      Combination c = now;
      for (std::size_t i = 0; i < opens_.size(); ++i) {
        if (opens_[i].ground) {
          c[i] = static_cast<std::uint16_t>(c[i] + std::lround(holes * (last(i) - c[i])));
        } else if (!opens_[i].number()) {
          c[i] = static_cast<std::uint16_t>(std::min<int>(last(i), c[i] + stouter));
        }
      }
      return c;
    };
    Combination middle = now, top = now;
    for (std::size_t i = 0; i < opens_.size(); ++i) {
      middle[i] = static_cast<std::uint16_t>(opens_[i].values.size() / 2);
      top[i] = last(i);
    }
    std::vector<Combination> starts{now}, all;
    starts.insert(starts.end(), options_.likely.begin(), options_.likely.end());
    starts.insert(starts.end(),
                  {changed(0.4, 0), changed(0.4, 1), changed(0, 1), changed(0.8, 0), changed(0.8, 2), middle, top});
    for (const Combination& c : starts)
      if (std::find(all.begin(), all.end(), c) == all.end()) all.push_back(c);
    return all;
  }

  /// By chance, the same each time.
  Combination scattered() {
    Combination c(opens_.size());
    for (std::size_t i = 0; i < opens_.size(); ++i) {
      scatter_ = scatter_ * 6364136223846793005u + 1442695040888963407u;
      c[i] = static_cast<std::uint16_t>((scatter_ >> 33) % opens_[i].values.size());
    }
    return c;
  }

  std::uint64_t number(const Combination& c) const { return number_of(opens_, c); }

  /// Looks at those that are not known yet, on two threads; false where the time ended before all were.
  bool look_at(const std::vector<Combination>& all) {
    std::vector<const Combination*> fresh;
    for (const Combination& c : all)
      if (known_.find(number(c)) == nullptr) fresh.push_back(&c);
    std::vector<Look> looks(fresh.size());
    std::vector<Priced> prices(fresh.size());
    std::vector<char> whole(fresh.size(), 0);  // no two threads write to one
    const auto price = [&](std::size_t i) {
      if (enough_()) return std::vector<FrameKey>{};
      whole[i] = in_time(patience_, [&] {
        prices[i] = trials_.price(*fresh[i]);
        looks[i].refused = prices[i].refused();
        looks[i].total = prices[i].total;
      });
      return prices[i].keys;
    };
    in_waves(fresh.size(), kept_, price, [&](std::size_t i, Kept& kept) {
      if (whole[i] == 0 || looks[i].refused) return;
      whole[i] = !enough_() && in_time(patience_, [&] {
        looks[i].shortfall = trials_.shortfall(prices[i], *fresh[i], kept);
        if (looks[i].shortfall.stands()) looks[i].total = looks[i].shortfall.total;
      });
    });
    for (std::size_t i = 0; i < fresh.size(); ++i)
      if (whole[i] != 0) known_.keep(number(*fresh[i]), looks[i]);
    return std::find(whole.begin(), whole.end(), 0) == whole.end();
  }

  /// Of one choice the values beside, a few on, and its ends.
  std::vector<Combination> around(const Combination& at, std::size_t i) const {
    const int values = static_cast<int>(opens_[i].values.size()), now = at[i];
    std::vector<int> to{now - 1, now + 1, now - 4, now + 4, 0, values - 1};
    std::sort(to.begin(), to.end());
    to.erase(std::unique(to.begin(), to.end()), to.end());
    std::vector<Combination> all;
    for (const int value : to) {
      if (value < 0 || value >= values || value == now) continue;
      all.push_back(at);
      all.back()[i] = static_cast<std::uint16_t>(value);
    }
    return all;
  }

  /// Of the most promising single changes each two of different choices.
  std::vector<Combination> pairs(const Combination& at, std::vector<Combination> single) const {
    const auto changed = [&](const Combination& c) {
      return static_cast<std::size_t>(std::mismatch(at.begin(), at.end(), c.begin()).first - at.begin());
    };
    std::sort(single.begin(), single.end(), [&](const auto& a, const auto& b) { return rank(a) < rank(b); });
    std::vector<Combination> best;
    std::vector<int> taken(at.size(), 0);
    for (const Combination& c : single)
      if (best.size() < kPaired && ++taken[changed(c)] <= kOfOneChoice) best.push_back(c);
    std::vector<Combination> all;
    for (std::size_t i = 0; i < best.size(); ++i)
      for (std::size_t k = i + 1; k < best.size(); ++k) {
        const std::size_t a = changed(best[i]), b = changed(best[k]);
        if (a == b) continue;
        all.push_back(best[i]);
        all.back()[b] = best[k][b];
      }
    return all;
  }

  using Rank = std::tuple<bool, double, std::int64_t, std::uint64_t>;
  Rank rank(const Combination& c) const {
    const Look& look = *known_.find(number(c));
    return {look.refused, look.shortfall.much, look.total.minor, number(c)};
  }
  bool good(const Combination& c) const {
    const Look& look = *known_.find(number(c));
    return !look.refused && look.shortfall.stands();
  }
  const Combination& best_of(const std::vector<Combination>& some) const {
    return *std::min_element(some.begin(), some.end(), [&](const auto& a, const auto& b) { return rank(a) < rank(b); });
  }

  /// The best single change, choice by choice, those that helped last first; one that helps much is taken at once. Sets
  /// `next` to all that were looked at. False where the time ended.
  bool single_changes(const Combination& at, std::vector<Combination>& next) {
    const double much = known_.find(number(at))->shortfall.much;
    const bool refused = known_.find(number(at))->refused;
    for (std::size_t place = 0; place < opens_.size(); ++place) {
      const std::vector<Combination> some = around(at, first_[place]);
      if (some.empty()) continue;
      if (!look_at(some)) return false;
      next.insert(next.end(), some.begin(), some.end());
      const Look& best = *known_.find(number(best_of(some)));
      if (best.refused || refused || best.shortfall.much > kMuchBetter * much) continue;
      std::rotate(first_.begin(), first_.begin() + static_cast<std::ptrdiff_t>(place),
                  first_.begin() + static_cast<std::ptrdiff_t>(place) + 1);
      break;
    }
    return true;
  }

  std::optional<Combination> up(Combination at) {
    // What is dug helps most often.
    first_.clear();
    for (const bool ground : {true, false})
      for (std::size_t i = 0; i < opens_.size(); ++i)
        if (opens_[i].ground == ground) first_.push_back(i);
    if (!look_at({at})) return std::nullopt;
    while (!enough_()) {
      if (good(at)) return at;
      std::vector<Combination> next;
      if (!single_changes(at, next) || next.empty()) return std::nullopt;
      if (const Combination best = best_of(next); rank(best) < rank(at)) {
        at = best;
        continue;
      }
      // No one change helps: two together may.
      const std::vector<Combination> two = pairs(at, next);
      if (two.empty() || !look_at(two)) return std::nullopt;
      const Combination best = best_of(two);
      if (!(rank(best) < rank(at))) return std::nullopt;
      at = best;
    }
    return std::nullopt;
  }

  bool wanted(const Combination& c) const {
    return !options_.at_most || known_.find(number(c))->total <= *options_.at_most;
  }

  /// Those that cost less than `than`, cheapest first: by price alone, which fixings that go up only add to.
  std::vector<Combination> cheaper(const std::vector<Combination>& some, Money than) {
    std::vector<std::optional<Money>> prices(some.size());
    on_two_threads(some.size(), [&](std::size_t i) {
      if (const Look* look = known_.find(number(some[i])); look && (look->refused || !look->shortfall.stands())) return;
      in_time(patience_, [&] {
        const Priced priced = trials_.price(some[i]);
        if (!priced.refused() && priced.total < than) prices[i] = priced.total;
      });
    });
    std::vector<std::pair<Money, std::size_t>> order;
    for (std::size_t i = 0; i < some.size(); ++i)
      if (prices[i]) order.emplace_back(*prices[i], i);
    std::sort(order.begin(), order.end());
    std::vector<Combination> all;
    for (const auto& [price, i] : order) all.push_back(some[i]);
    return all;
  }

  /// Which of them stand, looked at until the first that fails; no more than `than`, as far as there is time.
  std::optional<Combination> first_standing(const std::vector<Combination>& some, Money than) {
    for (std::size_t from = 0; from < some.size() && !enough_(); from += kAtOnce) {
      const std::size_t count = std::min(kAtOnce, some.size() - from);
      std::vector<std::optional<Look>> looks(count);
      std::vector<Priced> prices(count);
      const auto price = [&](std::size_t i) {
        if (known_.find(number(some[from + i])) == nullptr)
          in_time(patience_, [&] { prices[i] = trials_.price(some[from + i]); });
        return prices[i].keys;
      };
      in_waves(count, kept_, price, [&](std::size_t i, Kept& kept) {
        if (prices[i].refused()) return;
        in_time(patience_, [&] {
          Fixed fixed = trials_.fix(prices[i], some[from + i], begin_, kept);
          Look look;
          look.total = look.shortfall.total = fixed.total;
          if (fixed.failing) {
            look.shortfall = {1, 1, fixed.failing->words, fixed.total, fixed.failing->by};
            look.when = fixed.failing->when;
          }
          looks[i] = std::move(look);
        });
      });
      for (std::size_t i = 0; i < count; ++i) {
        if (!looks[i]) continue;
        if (!looks[i]->shortfall.stands()) begin_ = {looks[i]->when};
        known_.keep(number(some[from + i]), *looks[i]);
      }
      for (std::size_t i = 0; i < count; ++i) {
        const Look* look = known_.find(number(some[from + i]));
        if (look && good(some[from + i]) && look->total < than) return some[from + i];
      }
    }
    return std::nullopt;
  }

  /// Cheaper neighbours as long as there are any that stand; the whole plan is made of the first and of the last, and
  /// of those between where the last has none.
  bool down(Combination at) {
    bool any = hand_out(at);
    if (!any && wanted(at)) return false;
    std::vector<Combination> path;
    while (!enough_()) {
      std::vector<Combination> next;
      for (std::size_t i = 0; i < opens_.size(); ++i) {
        const std::vector<Combination> some = around(at, i);
        next.insert(next.end(), some.begin(), some.end());
      }
      const Money now = known_.find(number(at))->total;
      const std::optional<Combination> step = first_standing(cheaper(next, now), now);
      if (!step) break;
      at = *step;
      path.push_back(at);
    }
    for (; !path.empty(); path.pop_back()) {
      if (!wanted(path.back())) break;
      if (hand_out(path.back())) return true;
    }
    return any;
  }

  bool hand_out(const Combination& c) {
    if (!wanted(c)) return false;
    bool stands_whole = false;
    in_time(patience_, [&] {
      const Priced priced = trials_.price(c);
      if (priced.refused()) return;
      const Fixed fixed = trials_.fix(priced, c, {}, kept_);
      if (fixed.failing) return;
      const Result<Plan> plan = trials_.plan(c, fixed.fixings);
      stands_whole = plan && stands(*plan);
      if (!stands_whole) return;
      if (!least_ || fixed.total < *least_) least_ = fixed.total;
      found_(c, fixed);
    });
    return stands_whole;
  }

  const Trials& trials_;
  const std::vector<Open>& opens_;
  const SearchOptions& options_;
  const std::function<bool()>& enough_;
  const Patience& patience_;
  Known& known_;
  Kept& kept_;
  const std::function<void(const Combination&, const Fixed&)>& found_;
  Trials::Begin begin_;
  std::optional<Money> least_;      // of what was found to stand
  std::vector<std::size_t> first_;  // choices in the order in which they are tried
  std::uint64_t scatter_ = 1;
};

}  // namespace

void climb(const Trials& trials, const SearchOptions& options, const std::function<bool()>& enough,
           const Patience& patience, Known& known, Kept& kept,
           const std::function<void(const Combination&, const Fixed&)>& found) {
  Climb(trials, options, enough, patience, known, kept, found).run();
}

}  // namespace garthwright::decide
