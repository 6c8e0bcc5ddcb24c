// SPDX-License-Identifier: Apache-2.0
#include "plan/standing.h"

#include <algorithm>

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

std::vector<ground::PostLoad> post_loads(const strength::StructureReport& report) {
  std::vector<ground::PostLoad> loads;
  for (const strength::FootingLoad& l : report.footing_loads)
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

}  // namespace

WhatGives::WhatGives(const Structure& structure, const Site& site)
    : structure_(structure),
      bases_(ground_under(structure, site)),
      carcass_(strength::Carcass::make(structure, site, bases_)) {}

std::vector<Check> WhatGives::under(const Site& site, const strength::Asking& asking) {
  if (!carcass_) return {strength::no_frame(carcass_.error().front())};
  strength::Report report = strength::study(structure_, *carcass_, site, asking);
  loads_ = post_loads(report.structures.front());
  for (Check& c : of_the_ground(structure_, site, loads_, ground::holds)) report.checks.push_back(std::move(c));
  return std::move(report.checks);
}

std::vector<Check> WhatGives::all(const Site& site) {
  if (!carcass_) return {strength::no_frame(carcass_.error().front())};
  strength::Report report = strength::study(structure_, *carcass_, site, bases_);
  loads_ = post_loads(report.structures.front());
  for (Check& c : of_the_ground(structure_, site, loads_)) report.checks.push_back(std::move(c));
  return std::move(report.checks);
}

std::vector<Check> what_gives(const Structure& structure, const Site& site, State::Kind state) {
  return WhatGives(structure, site).under(site, {state, {}});
}

std::optional<Check> first_bad(const Structure& structure, const Site& site,
                               const std::function<bool(const Check&)>& bad, const std::optional<Situation>& begin,
                               std::vector<ground::PostLoad>* asked) {
  WhatGives what(structure, site);
  const auto among = [&](std::vector<Check> checks) -> std::optional<Check> {
    if (asked) *asked = what.asked_of_holes();
    const auto found = std::find_if(checks.begin(), checks.end(), bad);
    return found == checks.end() ? std::nullopt : std::optional(std::move(*found));
  };
  if (begin)
    if (auto found = among(what.under(site, {begin->state.kind, begin}))) return found;
  for (const State::Kind state : {State::Kind::overgrown, State::Kind::person, State::Kind::winter, State::Kind::bare})
    if (auto found = among(what.under(site, {state, {}}))) return found;
  return among(what.all(site));
}

Result<std::vector<strength::Solved>> frames_of(const std::vector<Structure>& structures, const Site& site) {
  std::vector<strength::Solved> all;
  for (const Structure& structure : structures) {
    Result<strength::Solved> one = strength::solve(structure, site, ground_under(structure, site));
    if (!one) return tl::make_unexpected(std::move(one.error()));
    all.push_back(std::move(*one));
  }
  return all;
}

Standing standing(const std::vector<Structure>& structures, const Site& site) {
  std::vector<std::vector<strength::BaseSpring>> bases;
  for (const Structure& structure : structures) bases.push_back(ground_under(structure, site));
  Standing found{strength::study(structures, site, bases), {}};
  for (std::size_t i = 0; i < structures.size(); ++i) {
    const std::vector<ground::PostLoad> loads = post_loads(found.strength.structures[i]);
    for (Check& check : of_the_ground(structures[i], site, loads)) {
      check.part = PartId{static_cast<int>(i)};
      found.ground.checks.push_back(std::move(check));
    }
  }
  return found;
}

}  // namespace garthwright
