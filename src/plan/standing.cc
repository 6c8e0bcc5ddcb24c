// SPDX-License-Identifier: Apache-2.0
#include "plan/standing.h"

#include <algorithm>

#include "strength/growing.h"

namespace garthwright {

std::vector<strength::BaseSpring> ground_under(const Structure& structure, const Site& site) {
  std::vector<strength::BaseSpring> springs;
  for (const Footing& footing : structure.footings) {
    const ground::GroundSprings spring = ground::hole_spring(footing, site);
    springs.push_back({spring.shift, spring.turn, spring.depth_mm});
  }
  return springs;
}

namespace {

std::vector<ground::PostLoad> post_loads(const std::vector<strength::FootingLoad>& footing_loads) {
  std::vector<ground::PostLoad> loads;
  for (const strength::FootingLoad& l : footing_loads)
    loads.push_back({l.footing, l.level == strength::FootingLoad::Level::equilibrium, l.when, l.sideways_n,
                     l.moment_nmm, l.down_n});
  return loads;
}

/// Without loads the frame was not solved, as its own row says: what needs none is told all the same.
std::vector<Check> of_the_ground(const Structure& structure, const Site& site,
                                 const std::vector<ground::PostLoad>& loads,
                                 decltype(ground::study)* study = ground::study) {
  if (!loads.empty()) return study(structure, site, loads);
  std::optional<Check> not_at_all = ground::unsizable(structure, site);
  return not_at_all ? std::vector<Check>{*std::move(not_at_all)} : std::vector<Check>();
}

bool too_weak_once_grown(const Check& c) {
  return (c.kind == CheckKind::sideways || c.kind == CheckKind::loose_top) && c.utilisation > 1 && c.when.state.grown();
}

/// All of the ground's checks. A hole that is too weak once the plant has grown says since when: only then are the
/// years before asked for.
std::vector<Check> all_of_the_ground(const Structure& structure, const Site& site,
                                     const std::vector<strength::BaseSpring>& bases,
                                     std::vector<ground::PostLoad> loads) {
  std::vector<Check> checks = of_the_ground(structure, site, loads);
  if (std::none_of(checks.begin(), checks.end(), too_weak_once_grown)) return checks;
  for (const ground::PostLoad& l : post_loads(strength::as_it_grows(structure, site, bases))) loads.push_back(l);
  return of_the_ground(structure, site, loads);
}

}  // namespace

WhatGives::WhatGives(const Structure& structure, const Site& site)
    : structure_(structure),
      bases_(ground_under(structure, site)),
      carcass_(strength::Carcass::make(structure, site, bases_)) {}

std::vector<Check> WhatGives::under(const Site& site, const strength::Asking& asking) {
  if (!carcass_) return {strength::no_frame(carcass_.error().front())};
  strength::Report report = strength::study(structure_, *carcass_, site, asking);
  loads_ = post_loads(report.structures.front().footing_loads);
  for (Check& c : of_the_ground(structure_, site, loads_, ground::holds)) report.checks.push_back(std::move(c));
  return std::move(report.checks);
}

std::vector<Check> WhatGives::all(const Site& site) {
  if (!carcass_) return {strength::no_frame(carcass_.error().front())};
  strength::Report report = strength::study(structure_, *carcass_, site, bases_);
  loads_ = post_loads(report.structures.front().footing_loads);
  for (Check& c : all_of_the_ground(structure_, site, bases_, loads_)) report.checks.push_back(std::move(c));
  return std::move(report.checks);
}

std::vector<Check> what_gives(const Structure& structure, const Site& site, State::Kind state) {
  return WhatGives(structure, site).under(site, {state, {}});
}

namespace {

std::optional<Check> giving_under(WhatGives& what, const Site& site, const std::function<bool(const Check&)>& bad,
                                  const strength::Asking& asking) {
  std::vector<Check> checks = what.under(site, asking);
  const auto found = std::find_if(checks.begin(), checks.end(), bad);
  return found == checks.end() ? std::nullopt : std::optional(std::move(*found));
}

}  // namespace

std::optional<Check> giving_in(WhatGives& what, const Site& site, const std::function<bool(const Check&)>& bad,
                               const std::vector<Situation>& situations) {
  for (const Situation& situation : situations)
    if (auto found = giving_under(what, site, bad, {situation.state.kind, situation})) return found;
  return std::nullopt;
}

std::optional<Check> first_giving(WhatGives& what, const Site& site, const std::function<bool(const Check&)>& bad,
                                  const std::vector<Situation>& begin) {
  if (auto found = giving_in(what, site, bad, begin)) return found;
  for (const State::Kind state : {State::Kind::overgrown, State::Kind::person, State::Kind::winter, State::Kind::bare})
    if (auto found = giving_under(what, site, bad, {state, {}})) return found;
  return std::nullopt;
}

std::optional<Check> first_bad(const Structure& structure, const Site& site,
                               const std::function<bool(const Check&)>& bad, const std::vector<Situation>& begin,
                               std::vector<ground::PostLoad>* asked) {
  WhatGives what(structure, site);
  std::optional<Check> found = first_giving(what, site, bad, begin);
  if (!found) {
    std::vector<Check> checks = what.all(site);
    const auto at = std::find_if(checks.begin(), checks.end(), bad);
    if (at != checks.end()) found = std::move(*at);
  }
  if (asked) *asked = what.asked_of_holes();
  return found;
}

Result<std::vector<strength::Solved>> frames_of(const Garden& garden, const Site& site) {
  std::vector<strength::Solved> all;
  for (const Structure& structure : garden.structures) {
    Result<strength::Solved> one = strength::solve(structure, site, ground_under(structure, site));
    if (!one) return tl::make_unexpected(std::move(one.error()));
    all.push_back(std::move(*one));
  }
  return all;
}

Standing standing(const Garden& garden, const Site& site) {
  std::vector<std::vector<strength::BaseSpring>> bases;
  for (const Structure& structure : garden.structures) bases.push_back(ground_under(structure, site));
  Standing found{strength::study(garden, site, bases), {}};
  for (std::size_t i = 0; i < garden.structures.size(); ++i) {
    const std::vector<ground::PostLoad> loads = post_loads(found.strength.structures[i].footing_loads);
    for (Check& check : all_of_the_ground(garden.structures[i], site, bases[i], loads)) {
      check.part = PartId{static_cast<int>(i)};
      found.ground.checks.push_back(std::move(check));
    }
  }
  return found;
}

}  // namespace garthwright
