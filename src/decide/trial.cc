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
/// What fails, and what could not be looked at for want of a frame, which is never called good.
bool against(const Check& check) {
  return check.verdict == Verdict::fails || (check.kind == CheckKind::unsolved && check.verdict != Verdict::ok);
}

}  // namespace

Needs::Needs(const std::vector<Structure>& structures) {
  for (const Structure& structure : structures) {
    for (const Piece& piece : structure.pieces) {
      std::string kind = structure[piece.section].name + (piece.straight ? " straight" : "") +
                         std::to_string(static_cast<int>(piece.role));
      for (const double place : piece.joins_at) kind += " joined at " + std::to_string(place);
      lengths_[kind].push_back(piece.length.value());
    }
    for (const Panel& panel : structure.panels) ++amounts_["panel " + panel.item];
    for (const Fixing& fixing : structure.fixings) ++amounts_["fixing " + fixing.item];
    for (const Item& item : structure.items) ++amounts_["fixing " + item.name];
    for (const Footing& footing : structure.footings) {
      const buying::HoleFill fill = buying::hole_fill(structure, footing);
      amounts_["fill " + footing.fill] += fill.concrete_l;
      amounts_["gravel"] += fill.gravel_l;
    }
  }
  amounts_["sawn"] = buying::cut_treated_m2(structures);
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
    : job_(job), shelves_(shelves), opens_(opens), on_hand_(std::move(on_hand)), cancel_(cancel) {
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
  for (pattern::Built& one : *all) priced.structures.push_back(std::move(one.structure));
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
      priced.structures.clear();
      priced.refusal = one.error().front().what;
      priced.rests = rests;
      return priced;
    }
    priced.rests.insert(priced.rests.end(), rests.begin(), rests.end());
    priced.structures.push_back(std::move(one->structure));
  }
  return priced;
}

Priced Trials::price(const Combination& combination) const {
  Priced priced = shared_ ? build_together(combination) : build_apart(combination);
  if (priced.refused()) return priced;
  cutting::Options cutting;
  cutting.cancel = cancel_;
  const buying::Report bought = buying::buy(priced.structures, job_.yards, job_.saw, on_hand_, cutting);
  for (const Diagnostic& d : bought.diagnostics) {
    if (d.severity != Severity::error && d.code != "unknown-ground") continue;
    priced.refusal = d.what;
    priced.structures.clear();
    return priced;
  }
  priced.total = bought.total;
  priced.lower_bound = bought.whole.lower_bound;
  priced.needs = Needs(priced.structures);
  return priced;
}

std::optional<Failing> Trials::failing(const Priced& priced, const Begin& begin) const {
  Site site = site_;
  say_house(job_, priced.structures, site);
  for (std::size_t i = 0; i < priced.structures.size(); ++i) {
    const Structure& structure = priced.structures[i];
    const std::optional<Check> bad = first_bad(structure, site, against, begin);
    if (!bad) continue;
    Failing found{words_of(*bad, structure).title, {}, bad->when};
    for (const std::size_t open : priced.rests)
      if (shared_ || opens_[open].order == i) found.rests.push_back(open);
    return found;
  }
  return std::nullopt;
}

Shortfall Trials::shortfall(const Priced& priced) const {
  Site site = site_;
  say_house(job_, priced.structures, site);
  const Standing now = standing(priced.structures, site);
  Shortfall shortfall;
  double most = 0;
  for (const auto* checks : {&now.strength.checks, &now.ground.checks})
    for (const Check& check : *checks) {
      if (!against(check)) continue;
      ++shortfall.fails;
      shortfall.much += 0.1 + std::log(std::clamp(check.utilisation, 1.0, 100.0));
      if (check.utilisation <= most) continue;
      most = check.utilisation;
      shortfall.worst = words_of(check, priced.structures[static_cast<std::size_t>(check.part.index)]).title;
    }
  return shortfall;
}

Result<Plan> Trials::plan(const Combination& combination) const {
  PlanOptions options;
  options.order = sequence::Options{};
  options.on_hand = on_hand_;
  options.cutting.cancel = cancel_;
  return make_plan(with(job_, opens_, combination), shelves_, options);
}

bool stands(const Plan& plan) {
  const std::vector<const Check*> checks = all_checks(plan);
  const bool bought = std::none_of(plan.purchase.diagnostics.begin(), plan.purchase.diagnostics.end(),
                                   [](const Diagnostic& d) { return d.code == "unknown-ground"; });
  const bool in_order = plan.orders.size() == plan.structures.size() &&
                        std::none_of(plan.orders.begin(), plan.orders.end(),
                                     [](const sequence::Report& order) { return order.stages.empty(); });
  return bought && in_order && !has_error(plan.diagnostics) &&
         std::none_of(checks.begin(), checks.end(), [](const Check* check) { return against(*check); });
}

}  // namespace garthwright::decide
