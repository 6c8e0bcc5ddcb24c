// SPDX-License-Identifier: Apache-2.0
#include "ground/study.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "ground/broms.h"
#include "ground/concrete_bags.h"
#include "ground/elastic_posts.h"
#include "ground/ibc_posts.h"
#include "ground/soil.h"

namespace garthwright::ground {
namespace {

constexpr double kTry = 50;        // mm: holes are dug in such steps
constexpr double kDeepest = 1500;  // mm: by hand
constexpr double kWidest = 600;    // mm: by hand
constexpr double kConcrete = 23;   // kN/m³, postmix, a little under plain concrete
constexpr double kPi = 3.14159265358979;

double solid_depth(const Footing& f) { return std::max(0.0, f.depth - f.gravel) / 1000; }

/// Use of the hole's sideways strength by one load; the moment at the ground stands as a height of the force.
double sideways_use(const PostLoad& l, double depth_m, const std::function<double(double, double)>& capacity) {
  if (l.sideways_n < 1 && l.moment_nmm < 1000) return 0;
  const double p = std::max(l.sideways_n, 1.0) / 1000, arm = l.moment_nmm / 1e6 / p;
  const double c = capacity(depth_m, arm);
  return c > 0 ? p / c : 99;
}

}  // namespace

double ibc_capacity_kn(const Site& site, double b, double d, double arm) {
  const auto soil = plain_soil(site.soil);
  if (!soil || soil->material_class == 0) return 0;
  const double q = isolated_pole_lateral(presumptive(soil->material_class)->lateral_psf_per_ft) * kKpaPerMPerPsfPerFt;
  return ibc::unconstrained_capacity(std::min(d, ibc::kGreatestDepthM), arm, b, q);
}

double broms_capacity_kn(const Site& site, double b, double depth, double arm, double lost) {
  const auto soil = plain_soil(site.soil);
  if (!soil || soil->material_class == 0) return 0;
  const double l = depth - lost, e = arm + lost;
  if (l <= 0) return 0;
  const broms::Short s = soil->cohesive ? broms::in_clay(soil->cu_kpa, b, depth, arm)
                                        : broms::in_sand(soil->gamma_kn_m3, soil->phi_deg, b, l, e);
  return s.force_kn / ibc::kSafety;
}

GroundSprings hole_spring(const Footing& f, const Site& site) {
  const auto soil = plain_soil(site.soil);
  const double depth = std::max(100.0, f.depth - f.gravel);
  constexpr double kLoose = 2.2e-3, kMedium = 6.6e-3, kDense = 18e-3;  // N/mm³
  if (soil && soil->cohesive) return springs_even(depth, 67 * soil->cu_kpa * 1e-3);
  return springs_rising(depth, !soil || soil->phi_deg < 32 ? kLoose : soil->phi_deg < 36 ? kMedium : kDense);
}

std::vector<Check> study(const Structure& s, const Site& site, const std::vector<PostLoad>& loads) {
  std::vector<Check> checks;
  if (s.footings.empty()) return checks;
  const auto soil = plain_soil(site.soil);
  const auto mm = [&](double length) { return format_length(length, site.print); };
  /// A row about the hole where it is worst.
  const auto start = [&](CheckKind kind, const Footing& worst) {
    Check c = new_check(kind, {body(worst.post)});
    c.place = worst.centre;
    return c;
  };
  if (!soil || soil->material_class == 0) {
    Check c = start(CheckKind::soil, s.footings.front());
    c.unit = "1";
    c.verdict = Verdict::fails;
    c.source = "IBC Table 1806.2 note, EP486 3.4.3";
    c.plain = "Posts in " + site.soil + " may not be sized by presumed values: ask an engineer.";
    checks.push_back(c);
    return checks;
  }

  // Sideways: the worst load of all holes; then from which year of growth, and how deep would do.
  struct Way {
    CheckKind kind;
    const char* source;
    double lost;
    bool ibc;
    bool warns_only;
  };
  const std::vector<Way> ways{
      {CheckKind::sideways_ibc, "IBC 1807.3.2.1 (18-1), Table 1806.2, doubled by 1806.3.4", 0, true, false},
      {CheckKind::sideways, "Broms 1964, safety 2.5 on the characteristic load (EP486 3.4.2)", 0, false, false},
      {CheckKind::loose_top, "Broms 1964, safety 2.5; top 0.3 m (topsoil, frost) ignored, our own caution",
       kNoCreditDepthM, false, true}};
  for (const Way& way : ways) {
    if (way.warns_only && soil->cohesive) continue;  // Broms leaves the top 1.5 b of clay out already
    const auto use = [&](const PostLoad& l, double deeper_mm, double wider_mm) {
      const Footing& f = s.footings[static_cast<std::size_t>(l.footing)];
      return sideways_use(l, solid_depth(f) + deeper_mm / 1000, [&](double d, double arm) {
        const double b = (f.diameter + wider_mm) / 1000;
        return way.ibc ? ibc_capacity_kn(site, b, d, arm) : broms_capacity_kn(site, b, d, arm, way.lost);
      });
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
    Check c = start(way.kind, f);
    c.demand = worst->sideways_n / 1000;
    c.capacity = c.demand / most;
    c.unit = "kN";
    c.utilisation = most;
    c.verdict = way.warns_only && most > 1 ? Verdict::attention : verdict_of(most);
    c.source = way.source;
    c.when = worst->when;
    if (most <= 1) {
      c.plain = fmt::format("A hole {} deep and {} wide in {} holds: {:.0f} % used.", mm(f.depth), mm(f.diameter),
                            site.soil, 100 * most);
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
                            mm(f.depth), mm(f.diameter), site.soil, grown ? " overgrown" : "",
                            grown && first_year > 0 ? fmt::format(" (from year {} of growth)", first_year) : "",
                            grown && bare <= 1 ? fmt::format(", though bare it uses only {:.0f} %", 100 * bare) : "",
                            cure, grown ? "a lighter climber or one that is cut back hard" : "more posts or braces");
    }
    checks.push_back(c);
  }

  // Uplift, bearing.
  const PostLoad *lifted = nullptr, *pressed = nullptr;
  double lift_use = 0, press_use = 0, hold = 0, bear = 0;
  const Footing *lifted_hole = nullptr, *pressed_hole = nullptr;
  const auto weight_of = [&](const Footing& f, double depth, double diameter) {
    const Piece& post = s[f.post];
    return 0.9 * kConcrete *
           round_hole(diameter / 1000, std::max(0.0, depth - f.gravel) / 1000, post.width.value() / 1000,
                      post.thickness.value() / 1000)
               .net;
  };
  for (const PostLoad& l : loads) {
    const Footing& f = s.footings[static_cast<std::size_t>(l.footing)];
    const double weight = weight_of(f, f.depth, f.diameter);
    if (l.equilibrium) {
      const double u = std::max(0.0, -l.down_n) / 1000 / weight;
      if (lifted == nullptr || u > lift_use) lift_use = u, lifted = &l, hold = weight, lifted_hole = &f;
    } else if (!l.when.state.growing()) {
      const double allowed = presumptive(soil->material_class)->vertical_psf * kKpaPerPsf;
      const double u =
          (bearing_pressure(std::max(0.0, l.down_n) / 1000, f.diameter / 1000) + kConcrete * solid_depth(f)) / allowed;
      if (pressed == nullptr || u > press_use) press_use = u, pressed = &l, bear = allowed, pressed_hole = &f;
    }
  }
  if (lifted != nullptr) {
    Check c = start(CheckKind::uplift, *lifted_hole);
    c.demand = lift_use * hold;
    c.capacity = hold;
    c.unit = "kN";
    c.utilisation = lift_use;
    c.verdict = verdict_of(lift_use);
    c.source = site.route == Site::Route::en
                   ? "EN 1990 Table A1.2(A): 0.9 of the weight of the concrete, no skin friction"
                   : "ASCE 7-16 2.4.1 (7): 0.9 of the weight of the concrete, no skin friction";
    c.when = lifted->when;
    c.plain = "The concrete's weight holds the posts down; key it to the post with screws or notches.";
    if (lift_use > 1) {
      std::string cure = fmt::format("no hole up to {} deep and {} wide weighs enough", mm(kDeepest), mm(kWidest));
      double least = 1e9;  // the hole with least concrete that weighs enough
      for (double depth = lifted_hole->depth; depth <= kDeepest; depth += kTry)
        for (double wide = lifted_hole->diameter; wide <= kWidest; wide += kTry) {
          const double volume = depth * wide * wide;
          if (volume >= least || weight_of(*lifted_hole, depth, wide) < c.demand) continue;
          least = volume;
          cure = fmt::format("a hole {} deep and {} wide weighs enough", mm(depth), mm(wide));
        }
      c.plain = fmt::format(
          "Wind lifts {:.1f} kN, the concrete weighs {:.1f} kN: {}; or ballast. Two screws across "
          "each post key it to the concrete.",
          c.demand, c.capacity, cure);
    }
    checks.push_back(c);
  }
  if (pressed != nullptr) {
    Check c = start(CheckKind::pressure, *pressed_hole);
    c.demand = press_use * bear;
    c.capacity = bear;
    c.unit = "kPa";
    c.utilisation = press_use;
    c.verdict = verdict_of(press_use);
    c.source = "IBC Table 1806.2";
    c.when = pressed->when;
    c.plain = fmt::format("The ground is pressed with {:.0f} of {:.0f} kPa.", c.demand, c.capacity);
    checks.push_back(c);
  }
  const Footing& least = *std::min_element(s.footings.begin(), s.footings.end(),
                                           [](const Footing& a, const Footing& b) { return a.depth < b.depth; });
  const double shallowest = least.depth;
  Check c = start(CheckKind::frost, least);
  c.demand = site.frost_mm;
  c.capacity = shallowest;
  c.unit = "mm";
  c.utilisation = shallowest > 0 ? site.frost_mm / shallowest : 99;
  c.verdict = c.utilisation > 1 ? Verdict::fails : Verdict::ok;
  c.source = "IBC 1809.5 (from memory); frost depth of the site";
  c.plain = c.utilisation > 1
                ? fmt::format("Frost reaches {} and lifts posts: dig at least that deep.", mm(site.frost_mm))
                : fmt::format("Below the frost ({}).", mm(site.frost_mm));
  checks.push_back(c);
  return checks;
}

}  // namespace garthwright::ground
