// SPDX-License-Identifier: Apache-2.0
#include "strength/cases.h"

#include <fmt/format.h>

#include <cmath>
#include <span>

#include "strength/site_loads.h"

namespace garthwright::strength {
namespace {

using combinations::Combination;

Vec3 vec(const frame::Vec3& v) { return {v[0], v[1], v[2]}; }

void add(frame::Vec3& to, const frame::Vec3& v, double factor) {
  for (std::size_t i = 0; i < 3; ++i) to[i] += factor * v[i];
}
void add(frame::Wrench& to, const frame::Wrench& w, double factor) {
  add(to.force_n, w.force_n, factor);
  add(to.moment_nmm, w.moment_nmm, factor);
}

/// The actions of a site, in the order in which they are solved.
struct Actions {
  std::vector<frame::Loads> all;
  std::size_t dead = 0, plant = 0, snow = 0, lift_bare = 0, lift_grown = 0;
  std::size_t wind_bare = 0, wind_winter = 0, wind_grown = 0, wind_years = 0;  ///< along x; along y is the next
  std::size_t first_person = 0;
  std::vector<State> persons;
};

Actions actions_of(const SiteLoads& loads, const Growth& g, int years_to_mature) {
  Actions a;
  const auto keep = [&](frame::Loads l) {
    a.all.push_back(std::move(l));
    return a.all.size() - 1;
  };
  const auto wind = [&](double solidity, double coverage) {
    const std::size_t first = keep(loads.wind({1, 0, 0}, solidity, coverage));
    keep(loads.wind({0, 1, 0}, solidity, coverage));
    return first;
  };
  a.dead = keep(loads.dead());
  a.plant = keep(loads.plant(1));
  a.snow = keep(loads.snow());
  a.lift_bare = keep(loads.lift(false));
  a.lift_grown = keep(loads.lift(true));
  a.wind_bare = wind(0, 0);
  a.wind_winter = wind(g.winter, 1);
  a.wind_grown = wind(g.any ? 1 : 0, 1);  // a grown plant counts as closed
  a.wind_years = a.all.size();
  for (int year = 1; year < years_to_mature; ++year) wind(1, year / g.years);
  a.first_person = a.all.size();
  for (SiteLoads::Person& p : loads.persons()) {
    keep(std::move(p.loads));
    a.persons.push_back(p.state);
  }
  return a;
}

/// Wind from four sides where the combination has wind; else one case.
void four_winds(std::vector<Case>& to, Case still, std::size_t wind_x) {
  std::erase_if(still.parts, [](const auto& part) { return part.second == 0; });
  if (still.combination->wind == 0) {
    to.push_back(still);
    return;
  }
  for (std::size_t way = 0; way < 4; ++way) {
    Case c = still;
    c.parts.emplace_back(wind_x + way / 2, way % 2 == 0 ? still.combination->wind : -still.combination->wind);
    to.push_back(std::move(c));
  }
}

Case case_of(const State& state, const Combination& c, std::vector<std::pair<std::size_t, double>> parts) {
  return {{state, c.name, c.clause}, &c, std::move(parts)};
}

void states(std::vector<Case>& to, const Actions& a, const Growth& g, std::span<const Combination> list) {
  for (const Combination& c : list) {
    if (c.live > 0) continue;  // nobody walks on slats: the person's load stands for it
    if (c.person > 0) {
      for (std::size_t p = 0; p < a.persons.size(); ++p) {
        Case k = case_of(a.persons[p], c, {{a.dead, c.dead}});
        if (g.any) k.parts.emplace_back(a.plant, c.plant);
        k.parts.emplace_back(a.snow, c.snow);
        k.parts.emplace_back(a.first_person + p, c.person);
        to.push_back(std::move(k));
      }
      continue;
    }
    four_winds(to, case_of(kBare, c, {{a.dead, c.dead}, {a.lift_bare, c.lift}}), a.wind_bare);
    if (g.any)
      four_winds(to, case_of(overgrown(), c, {{a.dead, c.dead}, {a.plant, c.plant}, {a.lift_grown, c.lift}}),
                 a.wind_grown);
    Case winter = case_of(kWinter, c, {{a.dead, c.dead}, {a.snow, c.snow}, {a.lift_bare, c.lift}});
    if (g.any) winter.parts.emplace_back(a.plant, c.plant);
    four_winds(to, winter, a.wind_winter);
  }
}

/// How it grows into its load, for information: wind leading, year by year.
void years(std::vector<Case>& to, const Actions& a, const Growth& g, int years_to_mature,
           std::span<const Combination> list) {
  for (int year = 1; year < years_to_mature; ++year)
    for (const Combination& c : list)
      if (c.wind > 0 && c.lift == 0 && c.snow < 0.6 && c.live == 0)
        four_winds(to, case_of(overgrown(year), c, {{a.dead, c.dead}, {a.plant, c.plant * year / g.years}}),
                   a.wind_years + 2 * static_cast<std::size_t>(year - 1));
}

}  // namespace

frame::MemberResult Solved::bar(const Case& c, frame::MemberIndex member) const {
  frame::MemberResult sum;
  sum.length_mm = unit.front().members[member].length_mm;
  for (const auto& [index, factor] : c.parts) {
    const frame::MemberResult& r = unit[index].members[member];
    add(sum.uniform_n_per_mm, r.uniform_n_per_mm, factor);
    for (std::size_t e = 0; e < 2; ++e) {
      add(sum.end[e], r.end[e], factor);
      add(sum.motion[e].translation_mm, r.motion[e].translation_mm, factor);
      add(sum.motion[e].rotation_rad, r.motion[e].rotation_rad, factor);
    }
  }
  return sum;
}

Vec3 Solved::shift(const Case& c, frame::NodeIndex node) const {
  Vec3 sum;
  for (const auto& [index, factor] : c.parts) sum = sum + factor * vec(unit[index].displacements[node].translation_mm);
  return sum;
}

Vec3 Solved::force_on(const Case& c, const Link& link) const {
  Vec3 sum;
  for (const auto& [index, factor] : c.parts) sum = sum + factor * vec(unit[index].members[link.member].end[1].force_n);
  return sum.x * link.axes[0] + sum.y * link.axes[1] + sum.z * link.axes[2];
}

frame::Wrench Solved::reaction(const Case& c, std::size_t support) const {
  frame::Wrench sum;
  for (const auto& [index, factor] : c.parts) add(sum, unit[index].reactions[support], factor);
  return sum;
}

frame::Loads Solved::loads(const Case& c) const {
  frame::Loads sum;
  for (const auto& [index, factor] : c.parts) {
    for (frame::NodeLoad l : actions[index].on_nodes) {
      for (double& f : l.force_n) f *= factor;
      for (double& m : l.moment_nmm) m *= factor;
      sum.on_nodes.push_back(l);
    }
    for (frame::MemberLoad l : actions[index].on_members) {
      for (double& q : l.uniform_n_per_mm) q *= factor;
      sum.on_members.push_back(l);
    }
  }
  return sum;
}

std::string words_of(const frame::Frame& frame, const frame::Mechanism& m) {
  std::string where = frame.nodes[m.node].id;
  where = where.substr(0, where.find('@'));
  const double x = std::abs(m.direction[0]), y = std::abs(m.direction[1]), z = std::abs(m.direction[2]);
  if (m.turns) return where + " can turn where it is held";
  if (z > x && z > y) return where + " can move up and down";
  return fmt::format("{} racks {}", where, x >= y ? "along the opening" : "from front to back");
}

Result<Solved> solve(const Structure& structure, const Site& site, const std::vector<BaseSpring>& bases) {
  Solved s{structure, site, model_of(structure, {JointHold::by_fixings, true, bases, 1200}), {}, {}, {}, {}, 0};
  if (s.model.bases.empty() || s.model.bars.empty())
    return fail("nothing-to-stand-on", "it stands on nothing that is known here: no post in the ground, no wall",
                "give its posts holes, or ask an engineer how to anchor it");
  const auto solver = frame::Solver::make(s.model.frame);
  if (!solver) {
    const auto way = frame::find_mechanism(s.model.frame);
    return fail("mechanism", way ? words_of(s.model.frame, *way) : solver.error().front().what,
                "add a brace or fixings there");
  }
  const SiteLoads loads(structure, s.model, site);
  const Growth growth = growth_of(site);
  const int mature = growth.any ? static_cast<int>(std::ceil(growth.years)) : 0;
  Actions actions = actions_of(loads, growth, mature);
  for (const frame::Loads& l : actions.all) {
    auto solution = solver->solve(l);
    if (!solution) return tl::make_unexpected(solution.error());
    s.unit.push_back(std::move(*solution));
  }
  const auto service = s.us() ? combinations::asce_asd() : combinations::en1990_serviceability();
  states(s.ultimate, actions, growth, s.us() ? combinations::asce_asd() : combinations::en1990_ultimate());
  states(s.service, actions, growth, service);
  years(s.service, actions, growth, mature, service);
  s.grown_wind = actions.wind_grown;
  s.actions = std::move(actions.all);
  return s;
}

}  // namespace garthwright::strength
