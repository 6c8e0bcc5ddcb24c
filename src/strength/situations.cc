// SPDX-License-Identifier: Apache-2.0
#include "strength/situations.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <span>

#include "strength/growing.h"

namespace garthwright::strength {
namespace {

using combinations::Combination;

constexpr State kWinterOffTheHouse{State::Kind::winter, 0, State::Person::leans, kGround, true};
constexpr std::array<Vec3, 4> kWays{{{1, 0, 0}, {-1, 0, 0}, {0, 1, 0}, {0, -1, 0}}};

/// Wind on one state of the structure, from each of four sides, as indices of actions.
struct Winds {
  std::array<std::size_t, 4> side{}, lift{}, press{};
  std::size_t lift_by_zones = 0, press_by_zones = 0;
};

/// The actions of a site, in the order in which they are solved.
struct Actions {
  std::vector<frame::Loads> all;
  std::size_t dead = 0, plant = 0, soil = 0, snow = 0, snow_off_house = 0;
  Winds bare, winter, grown;
  std::vector<Winds> years;  ///< sideways only
  std::size_t first_person = 0;
  std::vector<State> persons;
};

bool wanted(State::Kind only, State::Kind state) { return only == State::Kind::any || only == state; }

Actions actions_of(const SiteLoads& loads, const Site& site, const Growth& g, int years_to_mature, State::Kind only) {
  Actions a;
  const auto keep = [&](frame::Loads l) {
    a.all.push_back(std::move(l));
    return a.all.size() - 1;
  };
  const auto wind = [&](Cover cover, bool sideways_only = false) {
    Winds w;
    for (std::size_t way = 0; way < kWays.size(); ++way) {
      w.side[way] = keep(loads.wind(kWays[way], cover));
      if (sideways_only) continue;
      w.lift[way] = keep(loads.lift(kWays[way], cover));
      w.press[way] = keep(loads.press(kWays[way], cover));
    }
    if (!sideways_only && !loads.roof().empty()) {
      w.lift_by_zones = keep(loads.lift_by_zones(cover));
      w.press_by_zones = keep(loads.press_by_zones(cover));
    }
    return w;
  };
  a.dead = keep(loads.dead());
  a.plant = keep(loads.plant(1));
  a.soil = keep(loads.soil());
  assert(a.dead == kDead && a.soil == kSoil && a.all.size() == kLasting);
  a.snow = keep(loads.snow());
  if (loads.under_a_house()) a.snow_off_house = keep(loads.snow_off_the_house());
  // A state that is not looked at needs no actions of its own: its winds stay those of another, and in no case.
  const bool winter_alone = g.any || only == State::Kind::winter;
  if (wanted(only, State::Kind::bare) || only == State::Kind::person) a.bare = wind(bare());
  a.grown = g.any && wanted(only, State::Kind::overgrown) ? wind(in_leaf(site)) : a.bare;
  a.winter = winter_alone && wanted(only, State::Kind::winter) ? wind(in_winter(site)) : a.bare;
  for (int year = 1; year < years_to_mature; ++year) a.years.push_back(wind(in_leaf(site, year / g.years), true));
  a.first_person = a.all.size();
  if (!wanted(only, State::Kind::person)) return a;
  for (Use& p : loads.persons()) {
    keep(std::move(p.loads));
    a.persons.push_back(p.state);
  }
  return a;
}

Case case_of(const State& state, const Combination& c, std::vector<std::pair<std::size_t, double>> parts) {
  return {{state, c.name, c.clause}, &c, std::move(parts)};
}

/// Wind from four sides where the combination has wind, with what it lifts, or presses on the roof, and by itself on
/// the roof's edges; else one case.
void four_winds(std::vector<Case>& to, Case still, const Winds& winds, double factor) {
  const Combination& c = *still.combination;
  std::erase_if(still.parts, [](const auto& part) { return part.second == 0; });
  if (c.wind == 0) {
    to.push_back(still);
    return;
  }
  for (std::size_t way = 0; way < kWays.size(); ++way) {
    Case blown = still;
    blown.parts.emplace_back(winds.side[way], factor * c.wind);
    if (c.lift > 0) blown.parts.emplace_back(winds.lift[way], factor * c.lift);
    if (c.lift == 0 && winds.press[way] > 0) blown.parts.emplace_back(winds.press[way], factor * c.wind);
    to.push_back(std::move(blown));
  }
  if (winds.lift_by_zones == 0) return;
  still.roof_alone = true;
  still.parts.emplace_back(c.lift > 0 ? winds.lift_by_zones : winds.press_by_zones,
                           factor * (c.lift > 0 ? c.lift : c.wind));
  to.push_back(std::move(still));
}

/// Snow leads or comes along where there is none: of the same weight and the same wind but more another combination has
/// all that this one has. (A leading action must be there: EN 1990 6.4.3.2.)
bool without_its_snow(const Combination& c, std::span<const Combination> list) {
  return c.snow > 0 && std::any_of(list.begin(), list.end(), [&](const Combination& o) {
           return o.dead == c.dead && o.plant == c.plant && o.soil == c.soil && o.lift == c.lift && o.live == c.live &&
                  o.person == c.person && o.wind > c.wind;
         });
}

/// `k_fi`: on what is unfavourable, EN 1990 Annex B, B3.3; where the wind lifts, weight is not.
void states(std::vector<Case>& to, const Actions& a, const Growth& g, std::span<const Combination> list, double k_fi,
            State::Kind only) {
  for (const Combination& c : list) {
    if (c.live > 0) continue;  // nobody walks on slats: the person's load stands for it
    const double weight = c.lift > 0 ? 1 : k_fi;
    const bool soil = !a.all[a.soil].on_members.empty() || !a.all[a.soil].on_nodes.empty();
    const auto weighs = [&](const State& state) {
      Case k = case_of(state, c, {{a.dead, weight * c.dead}});
      if (soil) k.parts.emplace_back(a.soil, k_fi * c.soil);
      return k;
    };
    const auto winter = [&](const State& state, std::size_t snow) {
      Case k = weighs(state);
      k.parts.emplace_back(snow, k_fi * c.snow);
      if (g.any) k.parts.emplace_back(a.plant, weight * c.plant);
      return k;
    };
    if (c.person > 0) {
      for (std::size_t p = 0; p < a.persons.size(); ++p) {
        Case k = winter(a.persons[p], a.snow);
        k.parts.emplace_back(a.first_person + p, k_fi * c.person);
        to.push_back(std::move(k));
      }
      continue;
    }
    const bool bare_of_snow = !without_its_snow(c, list);
    if (bare_of_snow && wanted(only, State::Kind::bare)) four_winds(to, weighs(kBare), a.bare, k_fi);
    if (bare_of_snow && g.any && wanted(only, State::Kind::overgrown)) {
      Case k = weighs(overgrown());
      k.parts.emplace_back(a.plant, weight * c.plant);
      four_winds(to, std::move(k), a.grown, k_fi);
    }
    if (!wanted(only, State::Kind::winter)) continue;
    four_winds(to, winter(kWinter, a.snow), a.winter, k_fi);
    if (a.snow_off_house > 0 && c.snow > 0)
      four_winds(to, winter(kWinterOffTheHouse, a.snow_off_house), a.winter, k_fi);
  }
}

/// How it grows into its load, for information: wind leading, year by year.
void years(std::vector<Case>& to, const Actions& a, const Growth& g, std::span<const Combination> list) {
  for (std::size_t i = 0; i < a.years.size(); ++i)
    for (const Combination& c : list)
      if (c.wind > 0 && c.lift == 0 && c.snow < 0.6 && c.live == 0) {
        const int year = static_cast<int>(i) + 1;
        four_winds(to, case_of(overgrown(year), c, {{a.dead, c.dead}, {a.plant, c.plant * year / g.years}}), a.years[i],
                   1);
      }
}

}  // namespace

Situations situations_of(const SiteLoads& loads, const Site& site, State::Kind only) {
  const Growth growth = growth_of(site);
  Actions actions = actions_of(loads, site, growth, 0, only);
  const bool us = site.route == Site::Route::us;
  using combinations::Reliability;
  const double k_fi = us ? 1 : combinations::k_fi(site.low_consequence ? Reliability::rc1 : Reliability::rc2);
  const auto service = us ? combinations::asce_asd() : combinations::en1990_serviceability();
  Situations found;
  states(found.ultimate, actions, growth, us ? combinations::asce_asd() : combinations::en1990_ultimate(), k_fi, only);
  states(found.equilibrium, actions, growth, us ? combinations::asce_equilibrium() : combinations::en1990_equilibrium(),
         k_fi, only);
  states(found.service, actions, growth, service, 1, only);
  // What holds the whole down and how it sways is no matter of the roof's edges.
  for (auto* list : {&found.equilibrium, &found.service})
    std::erase_if(*list, [](const Case& c) { return c.roof_alone; });
  found.roof.assign(loads.pieces(), false);
  for (const PieceId p : loads.roof()) found.roof[static_cast<std::size_t>(p.index)] = true;
  found.grown_wind = actions.grown.side[0];
  found.actions = std::move(actions.all);
  return found;
}

Situations years_of(const SiteLoads& loads, const Site& site) {
  Situations found;
  const Growth growth = growth_of(site);
  if (!growth.any) return found;
  Actions actions = actions_of(loads, site, growth, static_cast<int>(std::ceil(growth.years)), State::Kind::overgrown);
  const bool us = site.route == Site::Route::us;
  years(found.service, actions, growth, us ? combinations::asce_asd() : combinations::en1990_serviceability());
  found.actions = std::move(actions.all);
  return found;
}

}  // namespace garthwright::strength
