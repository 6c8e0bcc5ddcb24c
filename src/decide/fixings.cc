// SPDX-License-Identifier: Apache-2.0
#include "decide/fixings.h"

#include <algorithm>
#include <map>
#include <set>

#include "decide/at_rest.h"
#include "decide/least_fixings.h"
#include "decide/rough_price.h"
#include "plan/standing.h"
#include "structure/connecting.h"
#include "structure/fixing_rule.h"
#include "structure/joint_index.h"

namespace garthwright::decide {
namespace {

constexpr double kOfUse = 0.3, kMostUse = 10;  // rough: strength by thumb that a use asks for

/// The connection whose fixings a check is about.
std::optional<int> connection_of(const Structure& structure, const Check& check) {
  const bool fixings = check.kind == CheckKind::joint || check.kind == CheckKind::row ||
                       check.kind == CheckKind::splitting || check.kind == CheckKind::spacing;
  if (!fixings || !check.joint) return std::nullopt;
  for (const int fixing : fixings_of(structure, structure[check.joint]))
    if (const int connection = structure.fixings[static_cast<std::size_t>(fixing)].connection; connection >= 0)
      return connection;
  return std::nullopt;
}

const Connection& at(const Structure& structure, int connection) {
  return structure.connections[static_cast<std::size_t>(connection)];
}

double thumb_of(const SoldFixings& sold, const std::string& text) {
  const FixingText parsed = parse_fixing_text(text);
  const std::vector<const timber::FixingItem*>& items = sold.named(parsed.item);
  return items.empty() ? 0 : std::max(1, parsed.count) * thumb_strength(*items.front());
}

/// Of each connection, how much of its fixings' strength is used at most.
std::map<int, double> uses(const Structure& structure, const std::vector<Check>& checks) {
  std::map<int, double> most;
  for (const Check& check : checks)
    if (check.kind == CheckKind::joint)
      if (const auto connection = connection_of(structure, check))
        most[*connection] = std::max(most[*connection], check.utilisation);
  return most;
}

/// Something that fails, in the situations `begin` first, then among all checks.
std::optional<Check> gives(const Structure& structure, const Site& site, const std::vector<Situation>& begin) {
  WhatGives what(structure, site);
  if (auto found = giving_in(what, site, against, begin)) return found;
  std::vector<Check> checks = what.all(site);
  const auto at = std::find_if(checks.begin(), checks.end(), against);
  return at == checks.end() ? std::nullopt : std::optional(std::move(*at));
}

class GoingUp {
 public:
  GoingUp(const ToFix& what, const Structure& structure) : what_(what), order_(what.order), now_(structure) {
    for (std::size_t i = 0; i < structure.connections.size(); ++i)
      if (may_change(structure.connections[i]))
        steps_[structure.connections[i].name] = {bearing_candidates(structure, i, what.sold), 0};
  }

  /// Soon to the end where no fixing cures something that gives way, or nothing fails.
  GoneUp run(const std::vector<Situation>& begin, const AllChecks* known) {
    std::optional<AllChecks> all;
    if (!known) {
      WhatGives what(now_, what_.site);
      const auto none_cures = [&](const Check& check) { return against(check) && hopeless(check); };
      // What stands in the situations that refuted others lately mostly stands in all: state by state would be twice
      // the work.
      const auto check = begin.empty() ? first_giving(what, what_.site, none_cures, begin)
                                       : giving_in(what, what_.site, none_cures, begin);
      if (check) return by_first_fixings(*check, what.asked_of_holes());
      std::vector<Check> checks = what.all(what_.site);
      all = AllChecks{std::move(checks), what.asked_of_holes()};
      known = &*all;
    }
    GoneUp gone = from(*known);
    gone.all = std::move(all);
    return gone;
  }

 private:
  GoneUp from(const AllChecks& known) {
    if (std::optional<GoneUp> soon = by_what_is_known(known)) return *soon;
    std::vector<Check> checks = known.checks;
    for (;; checks = WhatGives(now_, what_.site).all(what_.site)) {
      std::map<int, Check> weak;
      for (Check& check : checks) {
        if (!against(check)) continue;
        if (hopeless(check)) return failed(check);
        const int connection = *connection_of(now_, check);
        const auto known = weak.find(connection);
        if (known == weak.end() || known->second.utilisation < check.utilisation)
          weak.insert_or_assign(connection, std::move(check));
      }
      if (weak.empty()) break;
      for (const auto& [connection, check] : weak)
        if (!step(at(now_, connection).name, check)) return failed(check);
    }
    GoneUp done;
    done.checks = std::move(checks);
    for (const auto& [name, step] : steps_)
      if (step.at > 0)
        done.fixings.push_back(
            {what_.number, what_.order.name, name, step.candidates[step.at], step.candidates.front()});
    if (!done.fixings.empty()) done.structure = std::move(now_);
    return done;
  }

  std::optional<GoneUp> by_what_is_known(const AllChecks& known) const {
    bool fails = false;
    for (const Check& check : known.checks) {
      if (!against(check)) continue;
      if (hopeless(check)) return by_first_fixings(check, known.asked);
      fails = true;
    }
    if (fails) return std::nullopt;
    GoneUp stands;
    stands.checks = known.checks;
    return stands;
  }
  static GoneUp by_first_fixings(const Check& check, std::vector<ground::PostLoad> asked) {
    GoneUp gone = failed(check);
    if (of_holes(check)) gone.asked = std::move(asked);
    return gone;
  }

  struct Step {
    std::vector<std::string> candidates;
    std::size_t at = 0;
  };

  static GoneUp failed(const Check& check) {
    GoneUp gone;
    gone.fails = check;
    return gone;
  }

  bool hopeless(const Check& check) const {
    const std::optional<int> connection = connection_of(now_, check);
    if (!connection) return true;
    const auto step = steps_.find(at(now_, *connection).name);
    return step == steps_.end() || step->second.at + 1 >= step->second.candidates.size();
  }

  /// Up to the first that can be had and carries where it failed.
  bool step(const std::string& name, const Check& check) {
    Step& step = steps_.at(name);
    // By thumb too weak for what it failed by is not even tried.
    const double now = thumb(step.candidates[step.at]);
    const double wanted = check.kind == CheckKind::joint ? now * kOfUse * std::min(check.utilisation, kMostUse) : 0;
    const bool any = std::any_of(step.candidates.begin() + static_cast<std::ptrdiff_t>(step.at) + 1,
                                 step.candidates.end(), [&](const auto& text) { return thumb(text) >= wanted; });
    while (++step.at < step.candidates.size()) {
      if (any && thumb(step.candidates[step.at]) < wanted) continue;
      pattern::Order order = order_;
      give(order, what_.number, {{what_.number, {}, name, step.candidates[step.at], {}}});
      int letter = 0;
      Result<pattern::Built> built = pattern::build(what_.job, order, what_.shelves, 0, letter);
      if (!built) continue;
      if (too_near_at_rest(built->structure, what_.site, name)) continue;
      if (still_fails(built->structure, name, check.when)) continue;
      order_ = std::move(order);
      now_ = std::move(built->structure);
      return true;
    }
    return false;
  }

  double thumb(const std::string& text) const { return thumb_of(what_.sold, text); }

  bool still_fails(const Structure& structure, const std::string& name, const Situation& when) const {
    const strength::Asking asking{when.state.kind, when};
    for (const Check& check : WhatGives(structure, what_.site).under(what_.site, asking))
      if (const auto connection = connection_of(structure, check);
          connection && at(structure, *connection).name == name)
        if (against(check)) return true;
    return false;
  }

  const ToFix& what_;
  pattern::Order order_;
  Structure now_;
  std::map<std::string, Step> steps_;
};

}  // namespace

bool against(const Check& check) {
  return check.verdict == Verdict::fails || (check.kind == CheckKind::unsolved && check.verdict != Verdict::ok);
}

bool of_holes(const Check& check) {
  return check.kind == CheckKind::sideways || check.kind == CheckKind::uplift || check.kind == CheckKind::pressure;
}

bool of_fixings(const Structure& structure, const Check& check) {
  const std::optional<int> connection = connection_of(structure, check);
  return connection && may_change(at(structure, *connection));
}

GoneUp go_up(const ToFix& what, const Structure& structure, const std::vector<Situation>& begin,
             const AllChecks* known) {
  return GoingUp(what, structure).run(begin, known);
}

std::vector<GoingDown> ways_down(const ToFix& what, const Structure& structure, const GoneUp& up) {
  const FixingPrices prices(what.job.yards);
  const Structure& now = up.structure ? *up.structure : structure;
  std::map<int, double> used = uses(now, up.checks);
  std::vector<GoingDown> groups;
  for (std::size_t i = 0; i < structure.connections.size(); ++i) {
    if (!may_change(structure.connections[i])) continue;
    double cost = 0;
    for (const Fixing& fixing : now.fixings)
      if (fixing.connection == static_cast<int>(i)) cost += prices.of(fixing.item).value_or(0);
    if (cost <= 0) continue;
    GoingDown group{structure.connections[i].name, structure.connections[i].candidates.front(), {}, cost};
    const auto fixed =
        std::find_if(up.fixings.begin(), up.fixings.end(), [&](const auto& f) { return f.joint == group.name; });
    const std::string& taken = fixed == up.fixings.end() ? group.first : fixed->value;
    const std::optional<double> each = prices.of_text(taken);
    std::vector<std::pair<double, std::string>> others;
    // Packs are bought whole: what costs a little more by the piece may cost less. What is by thumb too weak for what
    // is asked is not even tried.
    constexpr double kPacks = 1.5;
    const double asked = kOfUse * used[static_cast<int>(i)] * thumb_of(what.sold, taken);
    for (const std::string& text : bearing_candidates(structure, i, what.sold))
      if (const auto price = prices.of_text(text);
          price && each && text != taken && *price < kPacks * *each && thumb_of(what.sold, text) >= asked)
        others.emplace_back(*price, text);
    std::sort(others.begin(), others.end());
    for (auto& [price, text] : others) group.others.push_back(std::move(text));
    groups.push_back(std::move(group));
  }
  std::stable_sort(groups.begin(), groups.end(),
                   [](const GoingDown& a, const GoingDown& b) { return a.cost > b.cost; });
  return groups;
}

GoneUp go_down(const ToFix& what, const Structure& structure, GoneUp up, std::span<const GoingDown> groups,
               const std::function<std::optional<Money>(const Structure&)>& total,
               const std::function<bool(const Structure&, std::span<const GoingDown>)>& pointless) {
  std::optional<Money> least = total(up.structure ? *up.structure : structure);
  std::vector<Situation> begin;
  for (; !groups.empty(); groups = groups.subspan(1)) {
    if (pointless(up.structure ? *up.structure : structure, groups)) break;
    const GoingDown& group = groups.front();
    const std::string& name = group.name;
    for (const std::string& text : group.others) {
      std::vector<FixedAnew> fixings = up.fixings;
      std::erase_if(fixings, [&](const FixedAnew& f) { return f.joint == name; });
      if (text != group.first) fixings.push_back({what.number, what.order.name, name, text, group.first});
      pattern::Order order = what.order;
      give(order, what.number, fixings);
      int letter = 0;
      Result<pattern::Built> built = pattern::build(what.job, order, what.shelves, 0, letter);
      if (!built) continue;
      const std::optional<Money> costs = total(built->structure);
      if (!costs || (least && *costs >= *least)) continue;
      if (too_near_at_rest(built->structure, what.site, name)) continue;
      if (const std::optional<Check> bad = gives(built->structure, what.site, begin)) {
        std::erase(begin, bad->when);
        begin.insert(begin.begin(), bad->when);
        continue;
      }
      least = costs;
      up.fixings = std::move(fixings);
      up.structure = std::move(built->structure);
    }
  }
  std::sort(up.fixings.begin(), up.fixings.end(), [](const auto& a, const auto& b) { return a.joint < b.joint; });
  return up;
}

void give(pattern::Order& order, std::size_t number, const std::vector<FixedAnew>& fixings) {
  for (const FixedAnew& fixed : fixings) {
    if (fixed.order != number) continue;
    std::erase_if(order.fixings, [&](const pattern::GivenFixing& given) { return given.name == fixed.joint; });
    order.fixings.push_back({fixed.joint, fixed.value, order.where});
  }
}

FixingPrices::FixingPrices(const std::vector<timber::Yard>& yards) {
  std::map<std::string, double> least;
  const auto note = [&](const std::string& name, double price) {
    const auto [at, fresh] = least.emplace(name, price);
    if (!fresh) at->second = std::min(at->second, price);
  };
  for (const timber::Yard& yard : yards)
    for (const timber::FixingItem& item : yard.fixings)
      for (const timber::Pack& pack : item.packs) {
        if (pack.count <= 0) continue;
        const double each = static_cast<double>(pack.price.minor) / pack.count;
        note(item.name, each);
        if (!is_connector(item.kind)) note(std::string(size_name(item.name)), each);
      }
  each_.assign(least.begin(), least.end());
}

std::optional<double> FixingPrices::of(const std::string& item) const {
  const auto at = std::lower_bound(each_.begin(), each_.end(), item,
                                   [](const auto& known, const std::string& name) { return known.first < name; });
  if (at == each_.end() || at->first != item) return std::nullopt;
  return at->second;
}

std::optional<double> FixingPrices::of_text(const std::string& text) const {
  const FixingText parsed = parse_fixing_text(text);
  const std::optional<double> each = of(parsed.item);
  if (!each) return std::nullopt;
  return std::max(1, parsed.count) * *each;
}

}  // namespace garthwright::decide
