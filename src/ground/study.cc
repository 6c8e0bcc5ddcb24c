// SPDX-License-Identifier: Apache-2.0
#include "ground/study.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "ground/broms.h"
#include "ground/concrete_bags.h"
#include "ground/elastic_posts.h"
#include "ground/hole_sizes.h"
#include "ground/ibc_posts.h"
#include "ground/soil.h"

namespace garthwright::ground {
namespace {

constexpr double kTry = 50;          // mm: holes are dug in such steps
constexpr double kNothingLeft = 99;  // use of a hole that gives nothing
constexpr double kDeepest = 1500;    // mm: by hand
constexpr double kWidest = 600;      // mm: by hand
constexpr double kConcrete = 23;     // kN/m³, postmix, a little under plain concrete
constexpr double kUpliftSafety = 3;  // IBC 1810.3.3.1.5, from memory
constexpr double kPi = 3.14159265358979;

double solid_depth(const Footing& f) { return std::max(0.0, f.depth - f.gravel) / 1000; }

bool measured(const Site& site) { return site.clay_kpa > 0 && is_clay(site.soil); }

std::optional<PlainSoil> as_measured(const Site& site) {
  std::optional<PlainSoil> soil = plain_soil(site.soil);
  if (soil && measured(site)) {
    soil->material_class = kClayClass;
    soil->cu_kpa = site.clay_kpa;
  }
  return soil;
}

}  // namespace

std::optional<PlainSoil> ground_of(const Site& site) {
  const std::optional<PlainSoil> soil = as_measured(site);
  return soil && soil->material_class != 0 ? soil : std::nullopt;
}

double ibc_capacity_kn(const Site& site, double b, double d, double arm) {
  const auto soil = ground_of(site);
  if (!soil) return 0;
  const double q = isolated_pole_lateral(presumptive(soil->material_class)->lateral_psf_per_ft) * kKpaPerMPerPsfPerFt;
  const double presumed = ibc::unconstrained_capacity(std::min(d, ibc::kGreatestDepthM), arm, b, q);
  if (!measured(site)) return presumed;
  return std::min(presumed, broms::in_clay(soil->cu_kpa, b, d, arm).force_kn / ibc::kSafety);
}

double broms_capacity_kn(const Site& site, double b, double depth, double arm, double lost, const Factors& f) {
  const auto soil = ground_of(site);
  if (!soil) return 0;
  const double l = depth - lost, e = arm + lost;
  if (l <= 0) return 0;
  const double phi = std::atan(std::tan(soil->phi_deg * kPi / 180) / f.tan_phi) * 180 / kPi;
  const broms::Short s = soil->cohesive ? broms::in_clay(soil->cu_kpa / f.cu, b, depth, arm)
                                        : broms::in_sand(soil->gamma_kn_m3, phi, b, l, e);
  return s.force_kn;
}

bool wider_holds_more(const Site& site) {
  return !is_clay(site.soil) || (site.route == Site::Route::us && !measured(site));
}

double sideways_use(const Site& site, const PostLoad& l, double b, double depth, double lost) {
  if (l.sideways_n < 1 && l.moment_nmm < 1000) return 0;
  const double p = std::max(l.sideways_n, 1.0) / 1000,
               arm = l.moment_nmm / 1e6 / p;  // the moment as a height of the force
  const auto use = [&](double factor, double capacity) {
    return capacity > 0 ? std::min(kNothingLeft, factor * p / capacity) : kNothingLeft;
  };
  if (site.route == Site::Route::us) return use(1, ibc_capacity_kn(site, b, depth, arm));
  double worse = 0;
  for (const Factors& f : {kDa1Combination1, kDa1Combination2})
    worse = std::max(worse,
                     use(f.action * (site.low_consequence ? 0.9 : 1), broms_capacity_kn(site, b, depth, arm, lost, f)));
  return worse;
}

HoldsDown holds_down(const Site& site, double concrete, double b, double depth) {
  const bool us = site.route == Site::Route::us;
  HoldsDown h;
  h.weight_kn = (us ? 0.6 : 0.9) * kConcrete * concrete;
  const auto soil = ground_of(site);
  if (!soil || depth <= kNoCreditDepthM) return h;
  if (soil->cohesive) {
    constexpr double kAdhesion = 0.45;
    const double all = kAdhesion * soil->cu_kpa * kPi * b * (depth - kNoCreditDepthM);
    h.friction_kn = us ? all / kUpliftSafety : all / kDa1Combination2.cu;
  } else {
    const double tan_phi = std::tan(soil->phi_deg * kPi / 180), k0 = 1 - std::sin(soil->phi_deg * kPi / 180);
    const double all =
        k0 * tan_phi * soil->gamma_kn_m3 * kPi * b * (depth * depth - kNoCreditDepthM * kNoCreditDepthM) / 2;
    h.friction_kn = us ? all / kUpliftSafety : all / kDa1Combination2.tan_phi;
  }
  return h;
}

Pressed pressed(const Site& site, double down_n, double b, double depth) {
  const auto soil = ground_of(site);
  const double foot = bearing_pressure(std::max(0.0, down_n) / 1000, b), own = kConcrete * depth;
  if (!soil) return {kNothingLeft, 1};
  const double presumed = presumptive(soil->material_class)->vertical_psf * kKpaPerPsf;
  if (!measured(site)) return {foot + own, presumed};
  if (site.route == Site::Route::us)
    return {foot + own, std::min(presumed, undrained_bearing(soil->cu_kpa, 0) / ibc::kSafetyMost)};
  Pressed worst{0, 1};
  const double beside = soil->gamma_kn_m3 * depth, lighter = site.low_consequence ? 0.9 : 1;
  for (const Factors& f : {kDa1Combination1, kDa1Combination2}) {
    const Pressed one{lighter * (f.action * foot + f.weight * own), undrained_bearing(soil->cu_kpa / f.cu, beside)};
    if (one.use() > worst.use()) worst = one;
  }
  return worst;
}

GroundSprings hole_spring(const Footing& f, const Site& site) {
  const auto soil = as_measured(site);
  const double depth = std::max(100.0, f.depth - f.gravel);
  constexpr double kLoose = 2.2e-3, kMedium = 6.6e-3, kDense = 18e-3;  // N/mm³
  if (soil && soil->cohesive) return springs_even(depth, 67 * soil->cu_kpa * 1e-3);
  return springs_rising(depth, !soil || soil->phi_deg < 32 ? kLoose : soil->phi_deg < 36 ? kMedium : kDense);
}

Check hole_check(CheckKind kind, const Footing& worst) {
  Check c = new_check(kind, {body(worst.post)});
  c.place = worst.centre;
  return c;
}

namespace {

void check_sideways(const Structure& s, const Site& site, const PlainSoil& soil, const std::vector<PostLoad>& loads,
                    std::vector<Check>& checks) {
  const auto mm = [&](double length) { return format_length(length, site.print); };
  const bool us = site.route == Site::Route::us;
  // Sideways: the worst load of all holes; then from which year of growth, and how deep would do.
  struct Way {
    CheckKind kind;
    const char* source;
    double lost;
    bool warns_only;
  };
  std::vector<Way> ways;
  if (us)
    ways.push_back({CheckKind::sideways,
                    measured(site) ? "IBC 1807.3.2.1 (18-1), Table 1806.2, doubled by 1806.3.4, and Broms 1964 with cu "
                                     "as measured over 2.5 (EP486 3.4.2)"
                                   : "IBC 1807.3.2.1 (18-1), Table 1806.2, doubled by 1806.3.4",
                    0, false});
  else
    ways.push_back(
        {CheckKind::sideways, "Broms 1964 with EN 1997-1 Annex A, Design Approach 1, both combinations", 0, false});
  if (!us && !soil.cohesive)  // Broms leaves the top 1.5 b of clay out already
    ways.push_back({CheckKind::loose_top,
                    "Broms 1964 with EN 1997-1 Annex A; top 0.3 m (topsoil, frost) ignored, our own caution",
                    kNoCreditDepthM, true});
  for (const Way& way : ways) {
    const auto use = [&](const PostLoad& l, double deeper_mm, double wider_mm) {
      const Footing& f = s.footings[static_cast<std::size_t>(l.footing)];
      return sideways_use(site, l, (f.diameter + wider_mm) / 1000, solid_depth(f) + deeper_mm / 1000, way.lost);
    };
    const PostLoad* worst = nullptr;
    double most = 0, bare = 0;
    int first_year = 0;
    for (const PostLoad& l : loads) {
      if (l.equilibrium) continue;
      const double u = use(l, 0, 0);
      if (l.when.state.kind == State::Kind::bare) bare = std::max(bare, u);
      const State& state = l.when.state;
      if (state.growing() && u > 1 && (first_year == 0 || state.year < first_year)) first_year = state.year;
      if (!state.growing() && u > most) most = u, worst = &l;
    }
    if (worst == nullptr) continue;
    const Footing& f = s.footings[static_cast<std::size_t>(worst->footing)];
    Check c = hole_check(way.kind, f);
    c.demand = worst->sideways_n / 1000;
    c.capacity = c.demand / most;
    c.unit = "kN";
    c.utilisation = most;
    c.verdict = way.warns_only && most > 1 ? Verdict::attention : verdict_of(most);
    c.source = way.source;
    c.when = worst->when;
    if (most <= 1) {
      c.plain = fmt::format("A hole {} deep and {} wide in {} holds: {:.0f} % used.", mm(f.depth), mm(f.diameter),
                            soil_words(site), 100 * most);
    } else {
      const auto all_use = [&](double deeper, double wider) {
        double u = 0;
        for (const PostLoad& l : loads)
          if (!l.equilibrium && !l.when.state.growing()) u = std::max(u, use(l, deeper, wider));
        return u;
      };
      std::string cure;
      for (double deeper = kTry; cure.empty() && f.depth + deeper <= kDeepest; deeper += kTry)
        if (all_use(deeper, 0) <= 1) cure = fmt::format("dig {} deep instead of {}", mm(f.depth + deeper), mm(f.depth));
      for (double wider = kTry; wider <= 300; wider += kTry)
        if (all_use(0, wider) <= 1) {
          cure += fmt::format("{}make it {} wide", cure.empty() ? "" : ", or ", mm(f.diameter + wider));
          break;
        }
      if (cure.empty()) cure = fmt::format("no hole up to {} deep does: an engineer's footing", mm(kDeepest));
      const bool grown = worst->when.state.grown();
      c.plain = fmt::format("A hole {} deep and {} wide in {} is too weak{}{}{}. Choices: {}; more shelter; {}.",
                            mm(f.depth), mm(f.diameter), soil_words(site), grown ? " overgrown" : "",
                            grown && first_year > 0 ? fmt::format(" (from year {} of growth)", first_year) : "",
                            grown && bare <= 1 ? fmt::format(", though bare it uses only {:.0f} %", 100 * bare) : "",
                            cure, grown ? "a lighter climber or one that is cut back hard" : "more posts or braces");
    }
    checks.push_back(c);
  }
}

/// What a gardener can do about clay of unknown strength; common practice, no source.
std::string how_to_measure(const Site& site) {
  const bool us = site.route == Site::Route::us;
  return fmt::format(
      "measure its undrained shear strength. Dig a trial hole where each outer post will stand, in the wettest season; "
      "every {} from half the depth down press a hand vane into the fresh side and the bottom (or a pocket "
      "penetrometer: "
      "half the compressive strength that it reads counts); write the least of all into [site], as clay_strength = {} "
      "for "
      "{}. Or ask an engineer.",
      us ? "6 in" : "150 mm", us ? "600" : "30", us ? "600 psf" : "30 kPa");
}

void check_uplift_and_pressure(const Structure& s, const Site& site, const std::vector<PostLoad>& loads,
                               std::vector<Check>& checks) {
  const auto mm = [&](double length) { return format_length(length, site.print); };
  const bool us = site.route == Site::Route::us;
  const PostLoad *lifted = nullptr, *pressed = nullptr;
  double lift_use = 0, press_use = 0, hold = 0, bear = 0;
  const Footing *lifted_hole = nullptr, *pressed_hole = nullptr;
  const auto hold_of = [&](const Footing& f, double depth, double diameter) {
    const Piece& post = s[f.post];
    const double in_it = f.shoe.empty() ? 1e-3 : 0;  // a post on a shoe takes no room of the concrete
    const double solid = std::max(0.0, depth - f.gravel) / 1000;
    return holds_down(
        site, round_hole(diameter / 1000, solid, post.width.value() * in_it, post.thickness.value() * in_it).net,
        diameter / 1000, solid);
  };
  HoldsDown parts;
  for (const PostLoad& l : loads) {
    const Footing& f = s.footings[static_cast<std::size_t>(l.footing)];
    const HoldsDown holds = hold_of(f, f.depth, f.diameter);
    if (l.equilibrium) {
      const double u = std::max(0.0, -l.down_n) / 1000 / holds.sum();
      if (lifted == nullptr || u > lift_use)
        lift_use = u, lifted = &l, hold = holds.sum(), parts = holds, lifted_hole = &f;
    } else if (!l.when.state.growing()) {
      const Pressed p = ground::pressed(site, l.down_n, f.diameter / 1000, solid_depth(f));
      if (pressed == nullptr || p.use() > press_use)
        press_use = p.use(), pressed = &l, bear = p.bears_kpa, pressed_hole = &f;
    }
  }
  if (lifted != nullptr) {
    Check c = hole_check(CheckKind::uplift, *lifted_hole);
    c.demand = lift_use * hold;
    c.capacity = hold;
    c.unit = "kN";
    c.utilisation = lift_use;
    c.verdict = verdict_of(lift_use);
    c.source = us ? "ASCE 7-16 2.4.1 (7): 0.6 of the concrete; a third of the ground's friction (IBC 1810.3.3.1.5)"
                  : "EN 1997-1 2.4.7.4: 0.9 of the concrete; friction with K0 and φ (9.5) or 0.45 cu, Table A.16";
    c.when = lifted->when;
    c.plain = fmt::format(
        "The concrete's weight ({:.1f} kN) and the ground along it ({:.1f} kN) hold the posts down{}.", parts.weight_kn,
        parts.friction_kn, lifted_hole->shoe.empty() ? "; key it to the post with screws or notches" : "");
    if (lift_use > 1) {
      std::string cure = fmt::format("no hole up to {} deep and {} wide holds enough", mm(kDeepest), mm(kWidest));
      double least = 1e9;  // the hole with least concrete that holds
      for (double depth = lifted_hole->depth; depth <= kDeepest; depth += kTry)
        for (double wide = lifted_hole->diameter; wide <= kWidest; wide += kTry) {
          const double volume = depth * wide * wide;
          if (volume >= least || hold_of(*lifted_hole, depth, wide).sum() < c.demand) continue;
          least = volume;
          cure = fmt::format("a hole {} deep and {} wide holds enough", mm(depth), mm(wide));
        }
      c.plain = fmt::format(
          "Wind lifts {:.1f} kN; the concrete's weight gives {:.1f} and the ground along it {:.1f} kN: {}; or "
          "ballast.{}",
          c.demand, parts.weight_kn, parts.friction_kn, cure,
          lifted_hole->shoe.empty() ? " Two screws across each post key it to the concrete." : "");
    }
    checks.push_back(c);
  }
  if (pressed != nullptr) {
    Check c = hole_check(CheckKind::pressure, *pressed_hole);
    c.demand = press_use * bear;
    c.capacity = bear;
    c.unit = "kPa";
    c.utilisation = press_use;
    c.verdict = verdict_of(press_use);
    c.source = !measured(site) ? "IBC Table 1806.2"
               : us            ? "EN 1997-1 D.3 with cu as measured over 3 (EP486 3.4.2), at most IBC Table 1806.2"
                               : "EN 1997-1 D.3 with cu as measured, Annex A, Design Approach 1, both combinations";
    c.when = pressed->when;
    c.plain = fmt::format("The ground is pressed with {:.0f} of {:.0f} kPa.", c.demand, c.capacity);
    checks.push_back(c);
  }
}

}  // namespace

std::optional<Check> unsizable(const Structure& s, const Site& site) {
  const auto soil = ground_of(site);
  if (s.footings.empty() || soil) return std::nullopt;
  Check c = hole_check(CheckKind::soil, s.footings.front());
  c.unit = "1";
  c.verdict = Verdict::fails;
  c.source = "IBC Table 1806.2 note, EP486 3.4.3";
  c.plain = "Posts in " + site.soil +
            " may not be sized by presumed values: " + (is_clay(site.soil) ? how_to_measure(site) : "ask an engineer.");
  return c;
}

std::vector<Check> holds(const Structure& s, const Site& site, const std::vector<PostLoad>& loads) {
  std::vector<Check> checks;
  if (s.footings.empty()) return checks;
  if (auto not_at_all = unsizable(s, site)) return {*std::move(not_at_all)};
  const auto soil = ground_of(site);
  check_sideways(s, site, *soil, loads, checks);
  check_uplift_and_pressure(s, site, loads, checks);
  return checks;
}

std::vector<Check> study(const Structure& s, const Site& site, const std::vector<PostLoad>& loads) {
  std::vector<Check> checks = holds(s, site, loads);
  if (s.footings.empty() || (!checks.empty() && checks.front().kind == CheckKind::soil)) return checks;
  check_hole_sizes(s, site, checks);
  return checks;
}

}  // namespace garthwright::ground
