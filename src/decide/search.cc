// SPDX-License-Identifier: Apache-2.0
#include "decide/search.h"

#include <algorithm>
#include <chrono>
#include <map>
#include <queue>
#include <tuple>
#include <unordered_map>
#include <unordered_set>

#include "decide/climb.h"
#include "decide/in_waves.h"
#include "decide/slopes.h"

namespace garthwright::decide {
namespace {

constexpr double kShareOfClimb = 0.25;  // of the time
constexpr std::size_t kAtOnce = 16;     // boxes looked at between two decisions, whatever the machine has of threads
constexpr std::int64_t kNothing = 0;    // a bound that says nothing
constexpr double kLeastForDown = 2, kShareForDown = 0.1;  // s; of the time: for the last pass down
constexpr std::uint64_t kWorthSlopes = 200;               // combinations
constexpr std::size_t kSituations = 4;                    // that refuted others lately, and are looked at first

using Clock = std::chrono::steady_clock;

/// For each open choice a stretch of its values.
struct Box {
  Combination low, high;
  std::int64_t bound = kNothing;  ///< minor units
  bool claimed = false;           ///< its low corner needs the least of all in it
  bool priced = false;            ///< the bound is its low corner's

  bool single(std::size_t i) const { return low[i] == high[i]; }
  std::uint64_t volume() const {
    std::uint64_t product = 1;
    for (std::size_t i = 0; i < low.size(); ++i) product *= std::uint64_t{1} + high[i] - low[i];
    return product;
  }
};

/// Least bound first; then in the order of their combinations, so that every run goes the same way.
struct Later {
  bool operator()(const Box& a, const Box& b) const {
    return std::tie(a.bound, a.low, a.high) > std::tie(b.bound, b.low, b.high);
  }
};

/// Sets of combinations that agree in some choices, of which it is known that none is wanted.
class Excluded {
 public:
  void add(const std::vector<std::size_t>& rests, const Combination& at) { sets_[rests].insert(key(rests, at)); }
  /// The choices of a set that this combination is in.
  const std::vector<std::size_t>* find(const Combination& at) const {
    for (const auto& [rests, keys] : sets_)
      if (keys.count(key(rests, at)) > 0) return &rests;
    return nullptr;
  }

 private:
  static std::string key(const std::vector<std::size_t>& rests, const Combination& at) {
    std::string key;
    for (const std::size_t i : rests) {
      key += static_cast<char>(at[i] & 0xFF);
      key += static_cast<char>(at[i] >> 8);
    }
    return key;
  }
  std::map<std::vector<std::size_t>, std::unordered_set<std::string>> sets_;
};

/// What came of looking at a box.
struct Outcome {
  enum class Kind { parted, refused, fails, stands } kind = Kind::parted;
  std::vector<Box> rest;    ///< what is still to be looked at
  std::uint64_t taken = 0;  ///< combinations that this has settled
  std::uint64_t alike = 0;  ///< of those: fail by the forces of the low corner, in holes that they are too much for
  std::vector<std::size_t> rests;  ///< of what is refused or fails
  std::vector<std::size_t> moves;  ///< choices about holes that turned out to have a say in the forces
  bool news = false;               ///< was found by looking, not by what is known
  bool reckoned = false;           ///< its own checks were run
  bool broken_claim = false;
  std::optional<Failing> failing;
  Failing::By by = Failing::By::reckoning;  ///< of what fails
  std::string refusal, reason;              ///< in words
  Fixed fixed;                              ///< of what stands
};

class Search {
 public:
  Search(const Trials& trials, const SearchOptions& options)
      : trials_(trials),
        opens_(trials.opens()),
        options_(options),
        began_(Clock::now()),
        moves_forces_(opens_.size(), 0) {}

  Found run() {
    climb_up();
    found_.plans = known_.reckoned();
    if (!done_ && !options_.only_climb) prove();
    found_.cancelled |= stopped();
    found_.seconds = seconds();
    found_.most_often = !reasons_.empty() || known_.nearest_fails().empty()
                            ? most_often(reasons_.empty() ? refusals_ : reasons_)
                            : known_.nearest_fails();
    return found_;
  }

 private:
  static std::string most_often(const std::map<std::string, std::size_t>& reasons) {
    const auto most = std::max_element(reasons.begin(), reasons.end(),
                                       [](const auto& a, const auto& b) { return a.second < b.second; });
    return most == reasons.end() ? std::string() : most->first;
  }
  double seconds() const { return std::chrono::duration<double>(Clock::now() - began_).count(); }
  bool stopped() const { return options_.cancel && *options_.cancel; }
  bool late(double share = 1) const {
    return stopped() || (options_.limit_s > 0 && seconds() > share * options_.limit_s);
  }

  void take(const Combination& combination, const Fixed& fixed) {
    if (found_.best && found_.total <= fixed.total) return;
    if (!found_.best) found_.first_s = seconds();
    found_.best = combination;
    found_.fixings = fixed.fixings;
    found_.total = fixed.total;
    done_ = options_.any;
    tell(found_.bound.minor);
  }
  void tell(std::int64_t bound) {
    found_.bound.minor = bound;
    if (options_.on_progress)
      options_.on_progress({found_.bound, found_.best ? std::optional(found_.total) : std::nullopt});
  }

  void climb_up() {
    const double share = options_.only_climb ? 1 : kShareOfClimb;
    const auto enough = [&] { return done_ || late(share); };
    climb(trials_, options_, enough, patience(share), known_, kept_,
          [this](const Combination& c, const Fixed& fixed) { take(c, fixed); });
    if (found_.best && !options_.any && !options_.only_climb) bring_down(*found_.best);
  }

  /// One pass down of the fixings of what stands; a little longer than there is time.
  void bring_down(const Combination& combination) {
    Patience longer = patience(1);
    if (options_.limit_s > 0) longer.until = Patience::in(std::max(kLeastForDown, kShareForDown * options_.limit_s));
    in_time(longer, [&] {
      const Fixed least = with_least_fixings(combination);
      if (!least.failing) take(combination, least);
    });
  }

  /// Fails where the whole plan does not stand.
  Fixed with_least_fixings(const Combination& combination) {
    const Priced priced = trials_.price(combination);
    Fixed least = trials_.fix_least(priced, combination, kept_);
    const Result<Plan> plan = trials_.plan(combination, least.fixings);
    if (!plan || !stands(*plan)) least.failing = Failing{};
    return least;
  }

  Patience patience(double share) const {
    Patience patience{options_.cancel, {}};
    if (options_.limit_s > 0) patience.until = Patience::in(std::max(0.0, share * options_.limit_s - seconds()));
    return patience;
  }

  /// Nothing dearer is of interest.
  bool dear(std::int64_t bound) const {
    if (found_.best && bound >= found_.total.minor) return true;
    return options_.at_most && bound > options_.at_most->minor;
  }

  // ---- the proof ----------------------------------------------------------------------------------------------------

  void prove() {
    while (!prove_once()) claims_ = false;  // a claim was broken: once more, and nothing taken for granted
  }

  /// A box's bound by rough prices, before its low corner is looked at.
  void bound_roughly(Box& box) const {
    if (claims_ && slopes_) box.bound = std::max(box.bound, slopes_->bound(box.low, box.high));
  }

  /// False where a claim turned out wrong.
  bool prove_once() {
    found_.counts = {};
    queue_ = {};
    Box all;
    for (const Open& open : opens_) {
      all.low.push_back(0);
      all.high.push_back(static_cast<std::uint16_t>(open.values.size() - 1));
    }
    if (claims_ && count(opens_) > kWorthSlopes) slopes_ = Slopes::measure(trials_, [this] { return late(); });
    bound_roughly(all);
    queue_.push(all);
    while (!queue_.empty() && !dear(queue_.top().bound) && !done_) {
      if (late()) {
        found_.cancelled = stopped();
        tell(queue_.top().bound);
        return true;
      }
      std::vector<Box> batch;
      while (!queue_.empty() && batch.size() < kAtOnce && !dear(queue_.top().bound)) {
        batch.push_back(queue_.top());
        queue_.pop();
      }
      std::vector<Outcome> outcomes(batch.size());
      std::vector<char> whole(batch.size(), 0);  // no two threads write to one
      std::vector<std::optional<Priced>> to_try(batch.size());
      const auto prepare = [&](std::size_t i) {
        whole[i] = in_time(patience(1), [&] {
          if (!batch[i].priced) {
            outcomes[i] = look(batch[i], to_try[i]);
          } else if (std::optional<Outcome> known = by_the_climb(batch[i])) {
            outcomes[i] = *std::move(known);
          } else {
            to_try[i] = trials_.price(batch[i].low);
          }
        });
        return whole[i] != 0 && to_try[i] ? to_try[i]->keys : std::vector<FrameKey>{};
      };
      in_waves(batch.size(), kept_, prepare, [&](std::size_t i, Kept& kept) {
        if (whole[i] != 0 && to_try[i])
          whole[i] = in_time(patience(1), [&] { outcomes[i] = try_whole(batch[i], *to_try[i], kept); });
      });
      for (std::size_t i = 0; i < batch.size(); ++i) {
        if (whole[i] == 0) {
          queue_.push(batch[i]);
          continue;
        }
        if (outcomes[i].broken_claim) return false;
        settle(batch[i], std::move(outcomes[i]));
      }
      if (++rounds_ % kTellEvery == 0 && !queue_.empty()) tell(std::max(found_.bound.minor, queue_.top().bound));
    }
    if (done_ && options_.any) return true;
    if (stopped()) {
      found_.cancelled = true;
      return true;
    }
    for (; !queue_.empty(); queue_.pop()) found_.counts.dearer += queue_.top().volume();
    found_.proven = true;
    if (found_.best) tell(found_.total.minor);
    return true;
  }

  void settle(const Box& box, Outcome outcome) {
    if (outcome.news && !outcome.rests.empty())
      (outcome.kind == Outcome::Kind::refused ? refused_ : failed_).add(outcome.rests, box.low);
    for (const std::size_t i : outcome.moves) moves_forces_[i] = 1;
    if (!outcome.refusal.empty()) ++refusals_[outcome.refusal];
    if (!outcome.reason.empty()) ++reasons_[outcome.reason];
    if (outcome.failing && outcome.by == Failing::By::reckoning) {  // what refuted this mostly refutes the next
      std::erase(begin_, outcome.failing->when);
      begin_.insert(begin_.begin(), outcome.failing->when);
      begin_.resize(std::min(begin_.size(), kSituations));
    }
    found_.plans += outcome.reckoned;
    switch (outcome.kind) {
      case Outcome::Kind::refused:
        found_.counts.refused += outcome.taken;
        break;
      case Outcome::Kind::fails:
        found_.counts.alike += outcome.alike;
        outcome.taken -= outcome.alike;
        (outcome.by == Failing::By::shape         ? found_.counts.shape
         : outcome.by == Failing::By::same_forces ? found_.counts.alike
                                                  : found_.counts.tried) += outcome.taken;
        break;
      case Outcome::Kind::stands:
        found_.counts.dearer += outcome.taken;
        if (!options_.at_most || outcome.fixed.total <= *options_.at_most) take(box.low, outcome.fixed);
        break;
      case Outcome::Kind::parted:
        break;
    }
    for (Box& rest : outcome.rest) {
      bound_roughly(rest);
      queue_.push(std::move(rest));
    }
  }

  /// `to_try`: what is to be tried at once, with the box then at its price.
  Outcome look(Box& box, std::optional<Priced>& to_try) const {
    Outcome out;
    if (const auto* rests = refused_.find(box.low)) return without(box, Outcome::Kind::refused, *rests);
    if (const auto* rests = failed_.find(box.low)) return without(box, Outcome::Kind::fails, *rests);
    if (const std::optional<std::size_t> name = a_name(box)) {
      for (std::uint16_t value = box.low[*name]; value <= box.high[*name]; ++value)
        out.rest.push_back(at_value(box, *name, value));
      return out;
    }
    const auto built = trials_.build(box.low);
    if (!built->refused())
      if (std::optional<Failing> seen = trials_.seen_to_fail(*built, kept_)) {
        if (const Known::Look* look = found_by_the_climb(box.low))
          seen->words = look->shortfall.worst, seen->by = look->shortfall.by;
        return failed(box, *built, *seen, kept_);
      }
    Priced low = *built;
    if (!low.refused()) trials_.buy(low);
    if (low.refused()) {
      out = without(box, Outcome::Kind::refused, low.rests);
      out.news = true;
      out.refusal = low.refusal;
      return out;
    }
    Box priced = box;
    const std::int64_t least = trials_.bound(low).minor;
    if ((box.claimed || slopes_) && claims_ && least < box.bound) {
      out.broken_claim = true;
      return out;
    }
    if (!box.claimed) {
      if (const std::optional<std::size_t> number = unclaimed(box, low)) {
        out.rest = halves(box, *number);
        return out;
      }
      priced.claimed = true;
    }
    priced.bound = std::max(box.bound, least);
    priced.priced = true;
    // What costs less than the best so far is to be tried sooner or later: now, while it is built.
    if (found_.best && !dear(priced.bound)) {
      box = priced;
      if (std::optional<Outcome> known = by_the_climb(box)) return *known;
      to_try = std::move(low);
      return out;
    }
    out.rest.push_back(std::move(priced));
    return out;
  }

  /// What does not stand, with all that differ from the low corner in the holes' widths alone and are seen to fail by
  /// the same forces. Between two widths of which the wider fails those fail too, where the ground is so
  /// (Trials::wider_holds_more); else each is looked at. What fails by the holes' shape fails with every value of the
  /// numbers that leave it so.
  Outcome failed(const Box& box, const Priced& low, const Failing& failing, const Kept& kept) const {
    std::vector<std::size_t> moves;
    Combination last = box.low;
    const std::optional<std::size_t> width = by_width(box, low, failing, kept, last, moves);
    const bool shape = failing.by == Failing::By::shape;
    if (shape) grow_while_the_shape_fails(box, failing.rests, width, last);
    Outcome out = without(box, Outcome::Kind::fails, failing.rests, &last);
    if (width && !shape) out.alike = out.taken - out.taken / (std::uint64_t{1} + last[*width] - box.low[*width]);
    out.moves = std::move(moves);
    out.reason = failing.words;
    out.by = failing.by;
    out.failing = failing;
    out.news = true;
    return out;
  }

  /// The choice about the holes' width, if the box has several values of it and some beyond the low corner's fail too;
  /// `last_that` fails of them. `moves`: choices about holes that turned out to have a say in the forces.
  std::optional<std::size_t> by_width(const Box& box, const Priced& low, const Failing& failing, const Kept& kept,
                                      Combination& last_that, std::vector<std::size_t>& moves) const {
    for (std::size_t i = 0; i < opens_.size(); ++i) {
      const bool rested_on = std::find(failing.rests.begin(), failing.rests.end(), i) != failing.rests.end();
      if (!rested_on || !opens_[i].ground || !opens_[i].number() || box.single(i) || moves_forces_[i] != 0) continue;
      enum class Seen { fails, may_stand, other_forces };
      const auto seen = [&](std::uint16_t value) {
        Combination at = box.low;
        at[i] = value;
        const auto other = trials_.build(at);
        if (other->refused()) return Seen::may_stand;
        if (other->keys != low.keys) return Seen::other_forces;
        return trials_.seen_to_fail(*other, kept) ? Seen::fails : Seen::may_stand;
      };
      std::uint16_t last = box.low[i];
      if (trials_.wider_holds_more()) {
        const Seen widest = seen(box.high[i]);
        if (widest == Seen::other_forces) {
          moves.push_back(i);
          continue;
        }
        if (widest == Seen::fails) {
          last = box.high[i];
        } else if (std::optional<std::uint16_t> to = last_that_fails(box, low, i, kept);
                   to && seen(*to) == Seen::fails) {
          last = *to;
        }
      } else {
        while (last < box.high[i] && seen(static_cast<std::uint16_t>(last + 1)) == Seen::fails) ++last;
      }
      if (last == box.low[i]) continue;
      last_that[i] = last;
      return i;
    }
    return std::nullopt;
  }

  /// Of a box that fails by the shape of its holes up to `last`: up to where its other numbers go, each by itself and
  /// all together, and it fails so still. Ends that are refused are drawn in by a few values.
  void grow_while_the_shape_fails(const Box& box, const std::vector<std::size_t>& rests,
                                  std::optional<std::size_t> width, Combination& last) const {
    if (!claims_) return;
    enum class Seen { fails, refused, may_stand };
    const auto seen = [&](const Combination& at) {
      const auto other = trials_.build(at);
      if (other->refused()) return Seen::refused;
      const std::optional<Failing> failing = trials_.seen_to_fail(*other, {});
      return failing && failing->by == Failing::By::shape ? Seen::fails : Seen::may_stand;
    };
    Combination all = last;
    std::size_t several = 0;
    for (const std::size_t i : rests) {
      if (box.single(i) || width == i) continue;
      Combination corner = last;
      corner[i] = box.high[i];
      Seen there = seen(corner);
      for (int step = 0; there == Seen::refused && step < kDrawnIn && corner[i] > box.low[i]; ++step)
        --corner[i], there = seen(corner);
      if (there != Seen::fails) continue;
      all[i] = corner[i];
      ++several;
    }
    if (several < 2 || seen(all) == Seen::fails) last = all;
  }

  /// The largest value of a choice about the holes' widths with which they are too weak for what is known to be asked
  /// of them, with widths that lie between those at the ends of the box as the values do; none where that is its
  /// lowest.
  std::optional<std::uint16_t> last_that_fails(const Box& box, const Priced& low, std::size_t i,
                                               const Kept& kept) const {
    Combination at = box.low;
    at[i] = box.high[i];
    const auto high = trials_.build(at);
    const auto number = [&](std::uint16_t value) { return std::get<double>(opens_[i].values[value]); };
    const double from = number(box.low[i]), to = number(box.high[i]);
    Priced between = low;
    const auto fails = [&](std::uint16_t value) {
      const double share = (number(value) - from) / (to - from);
      for (std::size_t s = 0; s < between.garden.structures.size(); ++s)
        for (std::size_t f = 0; f < between.garden.structures[s].footings.size(); ++f) {
          const double narrow = low.garden.structures[s].footings[f].diameter,
                       wide = high->garden.structures[s].footings[f].diameter;
          between.garden.structures[s].footings[f].diameter = narrow + share * (wide - narrow);
        }
      return trials_.seen_to_fail(between, kept).has_value();
    };
    std::uint16_t last = box.low[i], stands = box.high[i];
    while (last + 1 < stands) {
      const auto middle = static_cast<std::uint16_t>((last + stands) / 2);
      (fails(middle) ? last : stands) = middle;
    }
    return last > box.low[i] ? std::optional(last) : std::nullopt;
  }

  /// A choice without an order that has several values in the box.
  std::optional<std::size_t> a_name(const Box& box) const {
    for (std::size_t i = 0; i < opens_.size(); ++i)
      if (!box.single(i) && !opens_[i].number()) return i;
    return std::nullopt;
  }

  static Box at_value(const Box& box, std::size_t i, std::uint16_t value) {
    Box part = box;
    part.low[i] = part.high[i] = value;
    return part;
  }

  static std::vector<Box> halves(const Box& box, std::size_t i) {
    Box low = box, high = box;
    const auto middle = static_cast<std::uint16_t>((box.low[i] + box.high[i]) / 2);
    low.high[i] = middle;
    high.low[i] = static_cast<std::uint16_t>(middle + 1);
    return {low, high};
  }

  /// A number whose larger values might need less of something; none when the low corner needs least.
  std::optional<std::size_t> unclaimed(const Box& box, const Priced& low) const {
    std::size_t several = 0, last = 0;
    for (std::size_t i = 0; i < opens_.size(); ++i) {
      if (box.single(i)) continue;
      ++several, last = i;
      if (!claims_) return i;
      Combination corner = box.low;
      corner[i] = box.high[i];
      const auto at = trials_.build(corner);
      if (at->refused() || !low.needs.no_more_than(at->needs)) return i;
    }
    if (several < 2) return std::nullopt;
    const auto top = trials_.build(box.high);
    if (top->refused() || !low.needs.no_more_than(top->needs)) return last;
    return std::nullopt;
  }

  /// The box without those that agree with its low corner in these choices, or go in them up to `last`.
  static Outcome without(const Box& box, Outcome::Kind kind, const std::vector<std::size_t>& rests,
                         const Combination* last = nullptr) {
    Outcome out;
    out.kind = kind;
    out.rests = rests;
    Box agreeing = box;
    for (const std::size_t i : rests) {
      if (agreeing.single(i)) continue;
      const std::uint16_t to = last ? (*last)[i] : agreeing.low[i];
      if (to < agreeing.high[i]) {
        Box other = agreeing;
        other.low[i] = static_cast<std::uint16_t>(to + 1);
        other.priced = false;
        out.rest.push_back(std::move(other));
      }
      agreeing.high[i] = to;
    }
    out.taken = agreeing.volume();
    return out;
  }

  std::vector<std::size_t> all_choices() const {
    std::vector<std::size_t> all(opens_.size());
    for (std::size_t i = 0; i < all.size(); ++i) all[i] = i;
    return all;
  }

  /// What the climb found to fail fails; what it found good was planned, or will be.
  const Known::Look* found_by_the_climb(const Combination& at) const {
    const Known::Look* look = known_.find(number_of(opens_, at));
    return look && !look->refused && !look->shortfall.stands() ? look : nullptr;
  }
  std::optional<Outcome> by_the_climb(const Box& box) const {
    const Known::Look* look = found_by_the_climb(box.low);
    if (look == nullptr) return std::nullopt;
    Outcome out = without(box, Outcome::Kind::fails, all_choices());
    out.reason = look->shortfall.worst;
    out.by = look->shortfall.by;
    return out;
  }

  Outcome try_whole(const Box& box, const Priced& priced, Kept& kept) const {
    if (priced.refused()) return without(box, Outcome::Kind::refused, all_choices());
    Fixed fixed = trials_.fix(priced, box.low, begin_, kept);
    if (fixed.failing) {
      Outcome out = failed(box, priced, *fixed.failing, kept);
      out.reckoned = out.by == Failing::By::reckoning;
      return out;
    }
    if (found_.best && fixed.total >= found_.total) {  // brought down it may cost less than the best so far
      Fixed least = trials_.fix_least(priced, box.low, kept, found_.total);
      if (least.total >= found_.total) {
        Outcome out = without(box, Outcome::Kind::stands, all_choices());
        out.news = out.reckoned = true;
        out.fixed = std::move(least);
        return out;
      }
    }
    const Result<Plan> plan = trials_.plan(box.low, fixed.fixings);
    look_at_the_clock();  // a plan that was cut short says nothing
    Outcome out = without(box, plan && stands(*plan) ? Outcome::Kind::stands : Outcome::Kind::fails, all_choices());
    if (out.kind == Outcome::Kind::stands) {
      if (Fixed least = trials_.fix_least(priced, box.low, kept); least.total < fixed.total) {
        const Result<Plan> brought_down = trials_.plan(box.low, least.fixings);
        look_at_the_clock();
        if (brought_down && stands(*brought_down)) fixed = std::move(least);
      }
    }
    out.news = true;
    out.reckoned = true;
    out.fixed = std::move(fixed);
    return out;
  }

  static constexpr int kTellEvery = 32;
  static constexpr int kDrawnIn = 2;  // values

  const Trials& trials_;
  const std::vector<Open>& opens_;
  const SearchOptions& options_;
  const Clock::time_point began_;
  Found found_;
  bool done_ = false;
  bool claims_ = true;
  std::optional<Slopes> slopes_;
  int rounds_ = 0;
  Known known_;
  Kept kept_;
  Excluded refused_, failed_;
  std::priority_queue<Box, std::vector<Box>, Later> queue_;
  Trials::Begin begin_;
  std::vector<char> moves_forces_;  ///< choices of which that was seen
  std::map<std::string, std::size_t> reasons_, refusals_;
};

}  // namespace

Found search(const Trials& trials, const SearchOptions& options) { return Search(trials, options).run(); }

}  // namespace garthwright::decide
