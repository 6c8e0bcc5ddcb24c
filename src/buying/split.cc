// SPDX-License-Identifier: Apache-2.0
//
// The cheapest split of a purchase between yards.
//
// Goods are priced with their tax, so a yard is paid f(g) for goods worth g: 0 for none, else the lesser of
//
//   max(g, m) + d   with the minimum order m and its delivery d,
//   max(g, F)       where goods worth F >= m are brought free.
//
// Sets of yards are taken one by one. Within a set each thing comes from whoever asks least for it, which the cutting
// kernel and the packs solve exactly: that is a purchase, and the least cost of goods. What the terms add is at least d
// for every yard of the set (0 where delivery may be free), so most sets are dismissed unsolved. Where a purchase falls
// short of some m or F, goods there are in truth worth less than their price, and the bound is Lagrange's: for any
// share 0 <= s <= 1, max(g, M) >= s g + (1 - s) M, so the least cost of goods with that yard's prices at s times, and
// (1 - s) M, is no more than any purchase costs. Shares run over quarters. All sums are of whole numbers.

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <limits>
#include <optional>
#include <type_traits>
#include <utility>

#include "buying/goods.h"
#include "buying/lengths.h"
#include "timber/market.h"

namespace garthwright::buying {
namespace {

using timber::Yard;
using timber::YardSet;

constexpr int kWhole = 4;  // shares of a price are in quarters
constexpr std::int64_t kNever = std::numeric_limits<std::int64_t>::max() / 8;

/// Two ways to be billed: with delivery from the minimum order up, or free of it from F up.
struct Way {
  std::int64_t from = 0, adds = 0;

  std::int64_t paid(std::int64_t goods) const { return std::max(goods, from) + adds; }
};

std::vector<Way> ways_of(const timber::Terms& terms) {
  const std::int64_t delivery = timber::with_tax(terms.delivery, terms).minor;
  std::vector<Way> ways{{terms.minimum_order.minor, delivery}};
  if (delivery > 0 && terms.delivery_free_from)
    ways.push_back({std::max(terms.minimum_order.minor, terms.delivery_free_from->minor), 0});
  return ways;
}

const Way& cheapest(const std::vector<Way>& ways, std::int64_t goods) {
  return *std::min_element(ways.begin(), ways.end(),
                           [&](const Way& a, const Way& b) { return a.paid(goods) < b.paid(goods); });
}

/// `act` on every line of a report, timber or not; a report that may be changed has lines that may.
void each_line(auto& report, const auto& act) {
  for (auto& line : report.timber) act(line);
  for (auto* lines : {&report.fixings, &report.panels, &report.ground, &report.extras})
    for (auto& line : *lines) act(line);
}

class Split {
 public:
  Split(const Garden& garden, const std::vector<Yard>& yards, const Saw& saw, const OnHand& on_hand,
        const cutting::Options& options)
      : garden_(garden), yards_(yards), saw_(saw), on_hand_(on_hand), cutter_(options) {
    for (const Yard& yard : yards) ways_.push_back(ways_of(yard.terms));
  }

  Report run() {
    const YardSet all = (YardSet{1} << yards_.size()) - 1;
    everything_ = goods_of(all, {});
    if (!has_error(everything_.diagnostics)) {
      // Few yards first: among equals the least driving wins.
      std::vector<YardSet> sets;
      for (YardSet set = 1; set <= all; ++set) sets.push_back(set);
      std::stable_sort(sets.begin(), sets.end(),
                       [](YardSet a, YardSet b) { return std::popcount(a) < std::popcount(b); });
      for (const YardSet set : sets) look_at(set);
    }
    if (!best_) return everything_;
    return billed(*best_);
  }

 private:
  /// Everything bought where it is cheapest, at `quarters` of each yard's prices (none: whole prices).
  Report goods_of(YardSet set, const std::vector<int>& quarters) {
    return buy_at(garden_, timber::market(yards_, set, quarters), saw_, on_hand_, cutter_);
  }

  /// Whether the set sells all that the yards together do of what is needed.
  bool serves(const Report& report) const {
    const auto missing = [](const Report& r) {
      return std::count_if(r.diagnostics.begin(), r.diagnostics.end(),
                           [](const Diagnostic& d) { return d.code == "unknown-ground"; });
    };
    return !has_error(report.diagnostics) && missing(report) == missing(everything_) &&
           report.extras.size() == everything_.extras.size();
  }
  static bool left_open(const Report& report) {
    return std::any_of(report.diagnostics.begin(), report.diagnostics.end(),
                       [](const Diagnostic& d) { return d.code == "not-cut"; });
  }

  std::vector<std::int64_t> goods_by_yard(const Report& report) const {
    std::vector<std::int64_t> goods(yards_.size(), 0);
    each_line(report, [&](const auto& line) {
      goods[static_cast<std::size_t>(line.offer.yard)] += line.quantity * line.unit_price.minor;
    });
    return goods;
  }

  std::int64_t paid_for(const std::vector<std::int64_t>& goods) const {
    std::int64_t paid = 0;
    for (std::size_t i = 0; i < goods.size(); ++i)
      if (goods[i] > 0) paid += cheapest(ways_[i], goods[i]).paid(goods[i]);
    return paid;
  }

  std::int64_t least_added(YardSet set) const {
    std::int64_t added = 0;
    for (std::size_t i = 0; i < yards_.size(); ++i)
      if (set >> i & 1)
        added += std::min_element(ways_[i].begin(), ways_[i].end(), [](const Way& a, const Way& b) {
                   return a.adds < b.adds;
                 })->adds;
    return added;
  }

  void offer(const Report& goods) {
    const std::int64_t cost = paid_for(goods_by_yard(goods));
    if (best_ && cost >= cost_) return;
    best_ = goods;
    cost_ = cost;
  }

  void look_at(YardSet set) {
    const std::int64_t at_least = everything_.whole.lower_bound.minor + least_added(set);
    if (best_ && at_least >= cost_) return;
    const Report goods = goods_of(set, {});
    if (!serves(goods)) {
      if (left_open(goods)) bound_ = std::min(bound_, at_least);
      return;
    }
    offer(goods);
    bound_ = std::min(bound_, std::max(at_least, least_for(set, goods)));
  }

  /// No purchase that uses every yard of the set costs less: the least over the ways each can be billed.
  std::int64_t least_for(YardSet set, const Report& goods) {
    std::vector<std::size_t> members;
    for (std::size_t i = 0; i < yards_.size(); ++i)
      if (set >> i & 1) members.push_back(i);
    std::int64_t least = kNever;
    std::vector<Way> chosen(yards_.size());
    const auto choose = [&](auto&& self, std::size_t k) -> void {
      if (k == members.size()) {
        least = std::min(least, least_billed(set, members, chosen, goods));
        return;
      }
      for (const Way& way : ways_[members[k]]) {
        chosen[members[k]] = way;
        self(self, k + 1);
      }
    };
    choose(choose, 0);
    return least;
  }

  std::int64_t least_billed(YardSet set, const std::vector<std::size_t>& members, const std::vector<Way>& ways,
                            const Report& goods) {
    const std::vector<std::int64_t> worth = goods_by_yard(goods);
    std::vector<int> quarters(yards_.size(), kWhole);
    std::int64_t bound = bound_at(members, ways, quarters, kWhole * goods.whole.lower_bound.minor);
    for (const std::size_t i : members) {
      if (worth[i] >= ways[i].from) continue;
      int best = kWhole;
      for (int share = kWhole - 1; share >= 0 && !(best_ && bound >= cost_); --share) {
        quarters[i] = share;
        const Report repriced = goods_of(set, quarters);
        if (left_open(repriced)) continue;
        const std::int64_t found = bound_at(members, ways, quarters, repriced.whole.lower_bound.minor);
        offer(at_true_prices(repriced, goods.proof.lower_bound));
        if (found <= bound) continue;
        bound = found;
        best = share;
      }
      quarters[i] = best;
    }
    return bound;
  }

  /// Lagrange's bound, from the least cost of goods at these quarters of the prices.
  static std::int64_t bound_at(const std::vector<std::size_t>& members, const std::vector<Way>& ways,
                               const std::vector<int>& quarters, std::int64_t least_goods) {
    std::int64_t bound = least_goods;
    for (const std::size_t i : members) bound += (kWhole - quarters[i]) * ways[i].from + kWhole * ways[i].adds;
    return (bound + kWhole - 1) / kWhole;
  }

  Money paid(const timber::Offer& offer) const {
    return timber::with_tax(offer.listed, yards_[static_cast<std::size_t>(offer.yard)].terms);
  }

  /// A purchase that was found at other prices; `least_timber` is known of its set's timber.
  Report at_true_prices(Report goods, Money least_timber) const {
    each_line(goods, [&](auto& line) { line.unit_price = paid(line.offer); });
    goods.total = total_of(goods);
    goods.proof.cost = {};
    for (const TimberLine& line : goods.timber) goods.proof.cost.minor += line.quantity * line.unit_price.minor;
    goods.proof.lower_bound = std::min(least_timber, goods.proof.cost);
    goods.proof.optimal = goods.proof.lower_bound == goods.proof.cost;
    return goods;
  }

  /// The purchase as the yards bill it: listed prices, and in the extras what comes on top.
  Report billed(Report report) const {
    const std::vector<std::int64_t> goods = goods_by_yard(report);
    std::vector<std::int64_t> tax(yards_.size(), 0);
    std::int64_t timber_tax = 0;
    each_line(report, [&](auto& line) {
      const std::int64_t on_line = line.quantity * (line.unit_price.minor - line.offer.listed.minor);
      tax[static_cast<std::size_t>(line.offer.yard)] += on_line;
      if constexpr (std::is_same_v<std::decay_t<decltype(line)>, TimberLine>) timber_tax += on_line;
      line.unit_price = line.offer.listed;
    });
    report.proof.cost.minor -= timber_tax;
    report.proof.lower_bound.minor -= timber_tax;
    report.price_note.clear();
    for (std::size_t i = 0; i < yards_.size(); ++i)
      if (goods[i] > 0) add_bill(report, static_cast<int>(i), goods[i], tax[i]);
    report.total = total_of(report);
    report.whole = {report.total, {std::min(bound_, cost_)}, bound_ >= cost_};
    return report;
  }

  void add_bill(Report& report, int index, std::int64_t goods, std::int64_t tax) const {
    const Yard& yard = yards_[static_cast<std::size_t>(index)];
    const Way& way = cheapest(ways_[static_cast<std::size_t>(index)], goods);
    const bool delivered_free = way.adds == 0;
    YardBill bill{yard.name, yard.title, price_note(yard), {goods - tax}, {}, {way.paid(goods) - way.adds - goods}, {}};
    if (!delivered_free) bill.delivery = yard.terms.delivery;
    bill.tax = {tax + way.adds - bill.delivery.minor};
    const auto add = [&](const std::string& name, Money amount) {
      if (amount.minor == 0) return;
      report.extras.push_back({fmt::format("{}, {}", name, yard.title), 1, amount, 0, "each", {index, amount}});
    };
    add("delivery", bill.delivery);
    add(way.from == yard.terms.minimum_order.minor ? "goods to make up the minimum order"
                                                   : "goods to make up free delivery",
        bill.make_up);
    add(fmt::format("tax of {:g} %", yard.terms.tax / 100.0), bill.tax);
    report.price_note += (report.price_note.empty() ? "" : "; ") + yard.title + ": " + bill.price_note;
    report.bills.push_back(std::move(bill));
  }

  const Garden& garden_;
  const std::vector<Yard>& yards_;
  const Saw& saw_;
  const OnHand& on_hand_;
  Cutter cutter_;
  std::vector<std::vector<Way>> ways_;
  Report everything_;
  std::optional<Report> best_;
  std::int64_t cost_ = kNever, bound_ = kNever;
};

}  // namespace

Report buy(const Garden& garden, const std::vector<Yard>& yards, const Saw& saw, const OnHand& on_hand,
           const cutting::Options& cutting) {
  if (yards.size() == 1 && yards.front().terms == timber::Terms{})
    return buy(garden, yards.front(), saw, on_hand, cutting);
  return Split(garden, yards, saw, on_hand, cutting).run();
}

}  // namespace garthwright::buying
