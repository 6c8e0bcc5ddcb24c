// SPDX-License-Identifier: Apache-2.0
#include "decide/climb.h"

#include <algorithm>
#include <tuple>

#include "decide/two_threads.h"

namespace garthwright::decide {
namespace {

constexpr std::size_t kPaired = 10;  // single changes that are tried in pairs where none helps by itself
constexpr int kOfOneChoice = 2;      // of them, at most
constexpr int kBeginnings = 12;      // beside the job as it is, the middle and the stoutest

class Climb {
 public:
  Climb(const Trials& trials, const SearchOptions& options, const std::function<bool()>& enough, Known& known,
        const std::function<void(const Combination&, const Fixed&)>& found)
      : trials_(trials), opens_(trials.opens()), options_(options), enough_(enough), known_(known), found_(found) {}

  void run() {
    for (int i = 0; i < kBeginnings + 3 && !enough_(); ++i)
      if (const std::optional<Combination> top = up(beginning(i)); top && down(*top) && !options_.only_climb) return;
  }

 private:
  using Look = Known::Look;

  /// The job as it is; the middle; the last of all values; then a scatter that is the same each time.
  Combination beginning(int which) {
    Combination start(opens_.size());
    for (std::size_t i = 0; i < opens_.size(); ++i) {
      const std::size_t values = opens_[i].values.size();
      std::size_t value = values / 2;
      if (which == 0 && opens_[i].now) value = *opens_[i].now;
      if (which == 2) value = values - 1;
      if (which > 2)
        value = (scatter_ = scatter_ * 6364136223846793005u + 1442695040888963407u, scatter_ >> 33) % values;
      start[i] = static_cast<std::uint16_t>(value);
    }
    return start;
  }

  std::uint64_t number(const Combination& c) const { return number_of(opens_, c); }

  /// Looks at those that are not known yet, on two threads.
  void look_at(const std::vector<Combination>& all) {
    std::vector<const Combination*> fresh;
    for (const Combination& c : all)
      if (known_.find(number(c)) == nullptr) fresh.push_back(&c);
    std::vector<Look> looks(fresh.size());
    on_two_threads(fresh.size(), [&](std::size_t i) {
      if (options_.cancel && *options_.cancel) return;
      const Priced priced = trials_.price(*fresh[i]);
      looks[i].refused = priced.refused();
      looks[i].total = priced.total;
      if (priced.refused()) return;
      looks[i].shortfall = trials_.shortfall(priced, *fresh[i]);
      if (looks[i].shortfall.stands()) looks[i].total = looks[i].shortfall.total;
    });
    for (std::size_t i = 0; i < fresh.size(); ++i) known_.keep(number(*fresh[i]), looks[i]);
  }

  /// Of each choice the values beside, a few on, and its ends.
  std::vector<Combination> around(const Combination& at) const {
    std::vector<Combination> all;
    for (std::size_t i = 0; i < opens_.size(); ++i) {
      const int values = static_cast<int>(opens_[i].values.size()), now = at[i];
      std::vector<int> to{now - 1, now + 1, now - 4, now + 4, 0, values - 1};
      std::sort(to.begin(), to.end());
      to.erase(std::unique(to.begin(), to.end()), to.end());
      for (const int value : to) {
        if (value < 0 || value >= values || value == now) continue;
        all.push_back(at);
        all.back()[i] = static_cast<std::uint16_t>(value);
      }
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

  std::optional<Combination> up(Combination at) {
    look_at({at});
    while (!enough_()) {
      if (good(at)) return at;
      const std::vector<Combination> next = around(at);
      if (next.empty()) return std::nullopt;
      look_at(next);
      const Combination best =
          *std::min_element(next.begin(), next.end(), [&](const auto& a, const auto& b) { return rank(a) < rank(b); });
      if (rank(best) < rank(at)) {
        at = best;
        continue;
      }
      // No one change helps: two together may.
      const std::vector<Combination> two = pairs(at, next);
      look_at(two);
      const auto of_two =
          std::min_element(two.begin(), two.end(), [&](const auto& a, const auto& b) { return rank(a) < rank(b); });
      if (of_two == two.end() || !(rank(*of_two) < rank(at))) return std::nullopt;
      at = *of_two;
    }
    return std::nullopt;
  }

  bool wanted(const Combination& c) const {
    return !options_.at_most || known_.find(number(c))->total <= *options_.at_most;
  }

  /// Cheaper neighbours as long as there are any that stand; each is planned whole before it counts.
  bool down(Combination at) {
    bool any = hand_out(at);
    while (!enough_()) {
      const std::vector<Combination> next = around(at);
      look_at(next);
      std::vector<Combination> cheaper;
      for (const Combination& c : next)
        if (good(c) && known_.find(number(c))->total < known_.find(number(at))->total) cheaper.push_back(c);
      std::sort(cheaper.begin(), cheaper.end(), [&](const auto& a, const auto& b) {
        return std::pair{known_.find(number(a))->total, number(a)} <
               std::pair{known_.find(number(b))->total, number(b)};
      });
      bool moved = false;
      for (const Combination& c : cheaper) {
        if (!wanted(c) ? !whole(c) : !hand_out(c)) continue;
        any |= wanted(c);
        at = c;
        moved = true;
        break;
      }
      if (!moved) return any;
    }
    return any;
  }

  std::optional<Fixed> whole(const Combination& c) const {
    const Priced priced = trials_.price(c);
    if (priced.refused()) return std::nullopt;
    Fixed fixed = trials_.fix(priced, c, {});
    if (fixed.failing) return std::nullopt;
    const Result<Plan> plan = trials_.plan(c, fixed.fixings);
    return plan && stands(*plan) ? std::optional(std::move(fixed)) : std::nullopt;
  }
  bool hand_out(const Combination& c) {
    if (!wanted(c)) return false;
    const std::optional<Fixed> fixed = whole(c);
    if (fixed) found_(c, *fixed);
    return fixed.has_value();
  }

  const Trials& trials_;
  const std::vector<Open>& opens_;
  const SearchOptions& options_;
  const std::function<bool()>& enough_;
  Known& known_;
  const std::function<void(const Combination&, const Fixed&)>& found_;
  std::uint64_t scatter_ = 1;
};

}  // namespace

void climb(const Trials& trials, const SearchOptions& options, const std::function<bool()>& enough, Known& known,
           const std::function<void(const Combination&, const Fixed&)>& found) {
  Climb(trials, options, enough, known, found).run();
}

}  // namespace garthwright::decide
