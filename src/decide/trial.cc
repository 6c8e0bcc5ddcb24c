// SPDX-License-Identifier: Apache-2.0
#include "decide/trial.h"

#include <algorithm>
#include <cmath>

#include "plan/read_site.h"
#include "plan/standing.h"
#include "structure/check_words.h"

namespace garthwright::decide {
namespace {

constexpr double kSameMm = 1e-6;

/// Whether another may take a fixing's place.
bool is_open(const Structure& structure, const Fixing& fixing) {
  return fixing.connection >= 0 && may_change(structure.connections[static_cast<std::size_t>(fixing.connection)]);
}

/// Of the holes under posts that ask this of them; none where nothing is asked.
std::vector<Check> holes_under(const Structure& structure, const Site& site,
                               const std::vector<ground::PostLoad>& asked) {
  return asked.empty() ? std::vector<Check>{} : ground::study(structure, site, asked);
}

/// What is known without a frame of its own: what no force is asked for (frost, soil), then what another with the same
/// forces showed.
std::optional<Failing> seen_to_fail(const Structure& structure, const Site& site, const FrameKey& key,
                                    const Kept& kept) {
  const auto failing = [&](const std::vector<ground::PostLoad>& asked, Failing::By by) -> std::optional<Failing> {
    for (const Check& check : ground::study(structure, site, asked))
      if (against(check)) return Failing{words_of(check, structure).title, {}, check.when, by};
    return std::nullopt;
  };
  if (auto shape = failing({}, Failing::By::shape)) return shape;
  if (const auto known = kept.fails(key)) {
    if (known->asked.empty()) return Failing{known->words, {}, known->when, Failing::By::same_forces};
    if (auto holes = failing(known->asked, Failing::By::same_forces)) return holes;
  }
  if (const auto known = kept.reckoned(key); known && !known->asked.empty())
    return failing(known->asked, Failing::By::same_forces);
  return std::nullopt;
}

/// `fresh` becomes true where it was not known before.
std::shared_ptr<const Kept::Reckoned> reckoned(const Structure& structure, const Site& site, const FrameKey& key,
                                               Kept& kept, bool& fresh) {
  if (auto known = kept.reckoned(key)) return known;
  fresh = true;
  WhatGives what(structure, site);
  auto forces = std::make_shared<Kept::Reckoned>();
  forces->checks = what.all(site);
  forces->asked = what.asked_of_holes();
  std::erase_if(forces->checks, [](const Check& check) { return scope_of(check.kind) == CheckScope::holes; });
  forces->standing = std::none_of(forces->checks.begin(), forces->checks.end(), against);
  kept.keep(key, forces);
  return forces;
}

}  // namespace

std::shared_ptr<const Kept::Reckoned> Kept::reckoned(const FrameKey& key) const {
  const auto at = reckoned_.find(key);
  if (at != reckoned_.end()) return at->second;
  return before_ ? before_->reckoned(key) : nullptr;
}

void Kept::keep(const FrameKey& key, std::shared_ptr<const Reckoned> reckoned) {
  reckoned_.emplace(key, std::move(reckoned));
}

std::optional<Kept::Fails> Kept::fails(const FrameKey& key) const {
  const auto at = fails_.find(key);
  if (at != fails_.end()) return at->second;
  return before_ ? before_->fails(key) : std::nullopt;
}

void Kept::keep(const FrameKey& key, Fails fails) { fails_.insert_or_assign(key, std::move(fails)); }

Kept Kept::beside() const {
  Kept other;
  other.before_ = this;
  return other;
}

void Kept::take_over(Kept&& other) {
  reckoned_.merge(std::move(other.reckoned_));
  for (auto& [key, fails] : other.fails_) fails_.insert_or_assign(key, std::move(fails));
}

Needs::Needs(const Garden& garden) {
  for (const Structure& structure : garden.structures) {
    for (const Piece& piece : structure.pieces) {
      std::string kind = structure[piece.section].name + (piece.straight ? " straight" : "") +
                         std::to_string(static_cast<int>(piece.role));
      for (const double place : piece.joins_at) kind += " joined at " + std::to_string(place);
      lengths_[kind].push_back(piece.length.value());
    }
    for (const Panel& panel : structure.panels) ++amounts_["panel " + panel.item];
    for (const Fixing& fixing : structure.fixings)
      if (!is_open(structure, fixing)) ++amounts_["fixing " + fixing.item];
    for (std::size_t i = 0; i < structure.connections.size(); ++i)
      if (may_change(structure.connections[i]))
        amounts_["joints " + structure.connections[i].name] += joints_of(structure, i);
    for (const Item& item : structure.items) ++amounts_["fixing " + item.name];
    for (const Footing& footing : structure.footings) {
      const buying::HoleFill fill = buying::hole_fill(structure, footing);
      amounts_["fill " + footing.fill] += fill.concrete_l;
      amounts_["gravel"] += fill.gravel_l;
    }
  }
  amounts_["sawn"] = buying::cut_treated_m2(garden);
  for (auto& [kind, lengths] : lengths_) std::sort(lengths.begin(), lengths.end(), std::greater<>());
}

bool Needs::no_more_than(const Needs& other) const {
  for (const auto& [kind, lengths] : lengths_) {
    const auto theirs = other.lengths_.find(kind);
    if (theirs == other.lengths_.end() || theirs->second.size() < lengths.size()) return false;
    for (std::size_t i = 0; i < lengths.size(); ++i)
      if (lengths[i] > theirs->second[i] + kSameMm) return false;
  }
  for (const auto& [what, amount] : amounts_) {
    const auto theirs = other.amounts_.find(what);
    if (amount > (theirs == other.amounts_.end() ? 0 : theirs->second) + kSameMm) return false;
  }
  return true;
}

Trials::Trials(const pattern::Job& job, const pattern::Shelves& shelves, const std::vector<Open>& opens,
               buying::OnHand on_hand, const std::atomic<bool>* cancel)
    : job_(job),
      shelves_(shelves),
      opens_(opens),
      on_hand_(std::move(on_hand)),
      cancel_(cancel),
      rough_(job, !on_hand_.off_cuts.empty(), !on_hand_.fixings.empty()),
      sold_(job.yard),
      least_fixings_(job, sold_, !on_hand_.fixings.empty()) {
  Diagnostics ignored;  // a plan of the job says them
  site_ = read_site(job, ignored);
  shared_ = std::any_of(job.orders.begin(), job.orders.end(),
                        [](const pattern::Order& order) { return !order.shares.empty(); });
}

std::vector<std::size_t> Trials::rests_on(std::size_t order, const std::set<std::string>& read) const {
  std::vector<std::size_t> rests;
  for (std::size_t i = 0; i < opens_.size(); ++i)
    if (opens_[i].order == order && read.count(opens_[i].name) > 0) rests.push_back(i);
  return rests;
}

/// Parts that share posts are built together: what comes of them rests on every choice.
Priced Trials::build_together(const Combination& combination) const {
  Priced priced;
  for (std::size_t i = 0; i < opens_.size(); ++i) priced.rests.push_back(i);
  Result<std::vector<pattern::Built>> all = pattern::build_all(with(job_, opens_, combination), shelves_);
  if (!all) {
    priced.refusal = all.error().front().what;
    return priced;
  }
  for (pattern::Built& one : *all) priced.garden.structures.push_back(std::move(one.structure));
  return priced;
}

/// Each structure by itself, with the choices it looked at.
Priced Trials::build_apart(const Combination& combination) const {
  Priced priced;
  int letter = 0;
  for (std::size_t i = 0; i < job_.orders.size(); ++i) {
    std::set<std::string> read;
    Result<pattern::Built> one =
        pattern::build(job_, with(job_.orders[i], i, opens_, combination), shelves_, letter, letter, &read);
    const std::vector<std::size_t> rests = rests_on(i, read);
    if (!one) {
      priced.garden.structures.clear();
      priced.refusal = one.error().front().what;
      priced.rests = rests;
      return priced;
    }
    priced.rests.insert(priced.rests.end(), rests.begin(), rests.end());
    priced.garden.structures.push_back(std::move(one->structure));
  }
  return priced;
}

buying::Report Trials::bought(const Garden& garden) const {
  cutting::Options cutting;
  cutting.cancel = cancel_;
  return buying::buy(garden, job_.yards, job_.saw, on_hand_, cutting);
}

std::shared_ptr<const Priced> Trials::build(const Combination& combination) const {
  if (auto known = built_.find(combination)) return known;
  auto made = std::make_shared<const Priced>(build_fresh(combination));
  built_.keep(combination, made);
  return made;
}

Priced Trials::build_fresh(const Combination& combination) const {
  Priced priced = shared_ ? build_together(combination) : build_apart(combination);
  if (priced.refused()) return priced;
  priced.needs = Needs(priced.garden);
  for (const Structure& structure : priced.garden.structures) priced.keys.push_back(frame_key(structure));
  const Site site = site_for(priced);
  for (std::size_t i = 0; i < priced.garden.structures.size() && !priced.at_rest; ++i) {
    priced.at_rest = at_rest_.fails(to_fix(i, combination, site), priced.garden.structures[i], !shared_);
    if (priced.at_rest) priced.at_rest->part = PartId{static_cast<int>(i)};
  }
  return priced;
}

void Trials::buy(Priced& priced) const {
  const buying::Report report = bought(priced.garden);
  for (const Diagnostic& d : report.diagnostics) {
    if (d.severity != Severity::error && d.code != "unknown-ground") continue;
    priced.refusal = d.what;
    priced.garden.structures.clear();
    return;
  }
  priced.total = report.total;
}

Priced Trials::price(const Combination& combination) const {
  Priced priced = *build(combination);
  if (!priced.refused()) buy(priced);
  return priced;
}

Money Trials::bound(Priced& priced) const { return std::min(bound(priced.garden, {}), priced.total); }

Money Trials::bound(Garden& garden, const LeastFixings::Only& only) const {
  // Bought without the fixings that may be others, then the cheapest that could take their place.
  std::vector<std::vector<Fixing>> all;
  const double in_packs = least_fixings_.of(garden, only);
  double at_least = 0;
  for (Structure& structure : garden.structures) {
    at_least += rough_.fixings(structure);
    std::vector<Fixing> staying;
    for (const Fixing& fixing : structure.fixings)
      if (!is_open(structure, fixing)) staying.push_back(fixing);
    all.push_back(std::move(structure.fixings));
    structure.fixings = std::move(staying);
  }
  const buying::Report report = bought(garden);
  for (std::size_t i = 0; i < all.size(); ++i) garden.structures[i].fixings = std::move(all[i]);
  return {report.whole.lower_bound.minor + static_cast<std::int64_t>(std::max(at_least, in_packs))};
}

std::optional<double> Trials::rough(const Combination& combination) const {
  const Priced priced = shared_ ? build_together(combination) : build_apart(combination);
  if (priced.refused()) return std::nullopt;
  return rough_.of(priced.garden);
}

Site Trials::site_for(const Priced& priced) const {
  Site site = site_;
  say_house(job_, priced.garden, site);
  return site;
}

ToFix Trials::to_fix(std::size_t i, const Combination& combination, const Site& site) const {
  return {job_, shelves_, sold_, site, i, with(job_.orders[i], i, opens_, combination)};
}

std::optional<Money> Trials::total_of(const Garden& garden) const {
  const buying::Report report = bought(garden);
  if (has_error(report.diagnostics)) return std::nullopt;
  return report.total;
}

/// With what is known of its forces, or after a reckoning, which is noted.
GoneUp Trials::gone_up(std::size_t i, const Priced& priced, const Combination& combination, const Site& site,
                       const Begin& begin, Kept& kept) const {
  const Structure& structure = priced.garden.structures[i];
  std::optional<AllChecks> all;
  if (const auto known = kept.reckoned(priced.keys[i])) {
    all = AllChecks{known->checks, known->asked};
    for (Check& check : holes_under(structure, site, known->asked)) all->checks.push_back(std::move(check));
    if (std::none_of(all->checks.begin(), all->checks.end(), against)) {
      GoneUp stands;
      stands.checks = std::move(all->checks);
      return stands;
    }
  }
  GoneUp up;
  if (shared_)  // whose a joint is, is not known: its fixings stay
    up.fails = first_bad(structure, site, against, begin, &up.asked);
  else
    up = go_up(to_fix(i, combination, site), structure, begin, all ? &*all : nullptr);
  if (up.all) {
    std::erase_if(up.all->checks, [](const Check& check) { return scope_of(check.kind) == CheckScope::holes; });
    Kept::Reckoned forces{std::move(up.all->checks), std::move(up.all->asked)};
    forces.standing = std::none_of(forces.checks.begin(), forces.checks.end(), against);
    kept.keep(priced.keys[i], std::make_shared<const Kept::Reckoned>(std::move(forces)));
  }
  if (!up.fails) return up;
  if (shared_ && !of_holes(*up.fails)) up.asked.clear();
  if (!of_holes(*up.fails) || !up.asked.empty())
    kept.keep(priced.keys[i], Kept::Fails{words_of(*up.fails, structure).title, up.fails->when, up.asked});
  return up;
}

Failing Trials::resting(Failing failing, const Priced& priced, std::size_t structure) const {
  for (const std::size_t open : priced.rests)
    if (shared_ || opens_[open].order == structure) failing.rests.push_back(open);
  return failing;
}

std::optional<Failing> Trials::seen_to_fail(const Priced& priced, const Kept& kept) const {
  const Site site = site_for(priced);
  if (priced.at_rest) {
    const auto i = static_cast<std::size_t>(priced.at_rest->part.index);
    return resting({words_of(*priced.at_rest, priced.garden.structures[i]).title, {}, {}, Failing::By::shape}, priced,
                   i);
  }
  for (std::size_t i = 0; i < priced.garden.structures.size(); ++i)
    if (auto seen = decide::seen_to_fail(priced.garden.structures[i], site, priced.keys[i], kept))
      return resting(*std::move(seen), priced, i);
  return std::nullopt;
}

bool Trials::wider_holds_more() const { return ground::wider_holds_more(site_); }

Fixed Trials::fix(const Priced& priced, const Combination& combination, const Begin& begin, Kept& kept) const {
  const Site site = site_for(priced);
  Fixed done;
  done.total = priced.total;
  if (auto seen = seen_to_fail(priced, kept)) {
    done.failing = std::move(seen);
    return done;
  }
  Garden garden;
  for (std::size_t i = 0; i < priced.garden.structures.size(); ++i) {
    const Structure& structure = priced.garden.structures[i];
    GoneUp up = gone_up(i, priced, combination, site, begin, kept);
    if (up.fails) {
      done.failing =
          resting({words_of(*up.fails, structure).title, {}, up.fails->when, Failing::By::reckoning}, priced, i);
      return done;
    }
    done.fixings.insert(done.fixings.end(), up.fixings.begin(), up.fixings.end());
    garden.structures.push_back(up.structure ? std::move(*up.structure) : structure);
  }
  if (!done.fixings.empty())
    if (const std::optional<Money> total = total_of(garden)) done.total = *total;
  return done;
}

Fixed Trials::fix_least(const Priced& priced, const Combination& combination, Kept& kept,
                        std::optional<Money> below) const {
  Fixed done;
  done.total = priced.total;
  if (priced.refused() || shared_) return done;
  const Site site = site_for(priced);
  std::vector<GoneUp> ups;
  Garden garden = priced.garden;
  for (std::size_t i = 0; i < priced.garden.structures.size(); ++i) {
    ups.push_back(gone_up(i, priced, combination, site, {}, kept));
    if (ups.back().structure) garden.structures[i] = *ups.back().structure;
  }
  std::vector<std::vector<GoingDown>> downs;
  LeastFixings::Only only(garden.structures.size());  // what may be taken still
  for (std::size_t i = 0; i < garden.structures.size(); ++i) {
    downs.push_back(ways_down(to_fix(i, combination, site), priced.garden.structures[i], ups[i]));
    for (const GoingDown& group : downs[i]) only[i][group.name].insert(group.others.begin(), group.others.end());
  }
  for (std::size_t i = 0; i < priced.garden.structures.size(); ++i) {
    const auto total = [&](const Structure& structure) {
      garden.structures[i] = structure;
      return total_of(garden);
    };
    const auto pointless = [&](const Structure& structure, std::span<const GoingDown> left) {
      if (!below) return false;
      for (auto& [name, others] : only[i])
        if (std::none_of(left.begin(), left.end(), [&](const GoingDown& group) { return group.name == name; }))
          others.clear();
      garden.structures[i] = structure;
      return bound(garden, only) >= *below;
    };
    const GoneUp down = go_down(to_fix(i, combination, site), priced.garden.structures[i], std::move(ups[i]), downs[i],
                                total, pointless);
    garden.structures[i] = down.structure ? *down.structure : priced.garden.structures[i];
    done.fixings.insert(done.fixings.end(), down.fixings.begin(), down.fixings.end());
  }
  if (const std::optional<Money> total = total_of(garden)) done.total = *total;
  return done;
}

Shortfall Trials::shortfall(const Priced& priced, const Combination& combination, Kept& kept) const {
  constexpr double kCurable = 0.1;  // of what other fixings may cure
  const Site site = site_for(priced);
  Shortfall shortfall;
  shortfall.total = priced.total;
  double most = 0;
  bool curable = true, shape = false, fresh = false;
  for (std::size_t i = 0; i < priced.garden.structures.size(); ++i) {
    const Structure& structure = priced.garden.structures[i];
    const auto forces = reckoned(structure, site, priced.keys[i], kept, fresh);
    const std::vector<Check> holes = holes_under(structure, site, forces->asked);
    for (const auto* checks : {&forces->checks, &holes})
      for (const Check& check : *checks) {
        if (!against(check)) continue;
        const bool fixings = !shared_ && of_fixings(structure, check);
        curable &= fixings;
        shape |= check.kind == CheckKind::frost || check.kind == CheckKind::soil || check.kind == CheckKind::hole_width;
        ++shortfall.fails;
        shortfall.much += (fixings ? kCurable : 1) * (0.1 + std::log(std::clamp(check.utilisation, 1.0, 100.0)));
        if (check.utilisation <= most) continue;
        most = check.utilisation;
        shortfall.worst = words_of(check, structure).title;
      }
  }
  shortfall.by = shape ? Failing::By::shape : fresh ? Failing::By::reckoning : Failing::By::same_forces;
  if (shortfall.stands() || !curable) return shortfall;
  const Fixed fixed = fix(priced, combination, {}, kept);
  if (fixed.failing) {
    shortfall.worst = fixed.failing->words;
    shortfall.by = fixed.failing->by;
    return shortfall;
  }
  shortfall.fails = 0;
  shortfall.much = 0;
  shortfall.total = fixed.total;
  return shortfall;
}

Result<Plan> Trials::plan(const Combination& combination, const std::vector<FixedAnew>& fixings) const {
  PlanOptions options;
  options.order = sequence::Options{};
  options.on_hand = on_hand_;
  options.cutting.cancel = cancel_;
  pattern::Job job = with(job_, opens_, combination);
  for (std::size_t i = 0; i < job.orders.size(); ++i) give(job.orders[i], i, fixings);
  return make_plan(job, shelves_, options);
}

bool stands(const Plan& plan) {
  const std::vector<const Check*> checks = all_checks(plan);
  const bool bought = std::none_of(plan.purchase.diagnostics.begin(), plan.purchase.diagnostics.end(),
                                   [](const Diagnostic& d) { return d.code == "unknown-ground"; });
  const bool in_order = plan.orders.size() == plan.garden.structures.size() &&
                        std::none_of(plan.orders.begin(), plan.orders.end(),
                                     [](const sequence::Report& order) { return order.stages.empty(); });
  return is_whole(plan) && bought && in_order && !has_error(plan.diagnostics) &&
         std::none_of(checks.begin(), checks.end(), [](const Check* check) { return against(*check); });
}

}  // namespace garthwright::decide
