// SPDX-License-Identifier: Apache-2.0
#include "ground/study.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "ground/broms.h"
#include "ground/concrete_bags.h"
#include "ground/elastic_posts.h"
#include "ground/ibc_posts.h"
#include "ground/soil.h"

namespace garthwright::ground {
namespace {

constexpr double kTry = 50;          // mm: holes are dug in such steps
constexpr double kDeepest = 1500;    // mm: by hand
constexpr double kWidest = 600;      // mm: by hand
constexpr double kConcrete = 23;     // kN/m³, postmix, a little under plain concrete
constexpr double kUpliftSafety = 3;  // IBC 1810.3.3.1.5, from memory
constexpr double kConcreteRound =
    40;  // mm of concrete at a post's corners, our own; the trade's hole is 2 to 3 posts wide
constexpr double kPi = 3.14159265358979;

double solid_depth(const Footing& f) { return std::max(0.0, f.depth - f.gravel) / 1000; }

}  // namespace

double ibc_capacity_kn(const Site& site, double b, double d, double arm) {
  const auto soil = plain_soil(site.soil);
  if (!soil || soil->material_class == 0) return 0;
  const double q = isolated_pole_lateral(presumptive(soil->material_class)->lateral_psf_per_ft) * kKpaPerMPerPsfPerFt;
  return ibc::unconstrained_capacity(std::min(d, ibc::kGreatestDepthM), arm, b, q);
}

double broms_capacity_kn(const Site& site, double b, double depth, double arm, double lost, const Factors& f) {
  const auto soil = plain_soil(site.soil);
  if (!soil || soil->material_class == 0) return 0;
  const double l = depth - lost, e = arm + lost;
  if (l <= 0) return 0;
  const double phi = std::atan(std::tan(soil->phi_deg * kPi / 180) / f.tan_phi) * 180 / kPi;
  const broms::Short s = soil->cohesive ? broms::in_clay(soil->cu_kpa / f.cu, b, depth, arm)
                                        : broms::in_sand(soil->gamma_kn_m3, phi, b, l, e);
  return s.force_kn;
}

double sideways_use(const Site& site, const PostLoad& l, double b, double depth, double lost) {
  if (l.sideways_n < 1 && l.moment_nmm < 1000) return 0;
  const double p = std::max(l.sideways_n, 1.0) / 1000,
               arm = l.moment_nmm / 1e6 / p;  // the moment as a height of the force
  const auto use = [&](double factor, double capacity) { return capacity > 0 ? factor * p / capacity : 99; };
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
  const auto soil = plain_soil(site.soil);
  if (!soil || soil->material_class == 0 || depth <= kNoCreditDepthM) return h;
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
  const auto start = [&](const std::string& id, const std::string& title) { return new_check(s.name, id, title); };
  if (!soil || soil->material_class == 0) {
    Check c = start("footing/soil", "ground of " + site.soil);
    c.unit = "1";
    c.verdict = Verdict::fails;
    c.source = "IBC Table 1806.2 note, EP486 3.4.3";
    c.plain = "Posts in " + site.soil + " may not be sized by presumed values: ask an engineer.";
    checks.push_back(c);
    return checks;
  }

  // Sideways: the worst load of all holes; then from which year of growth, and how deep would do.
  const bool us = site.route == Site::Route::us;
  struct Way {
    const char *id, *title, *source;
    double lost;
    bool warns_only;
  };
  std::vector<Way> ways;
  if (us)
    ways.push_back({"footing/sideways", "posts in the ground, sideways (presumed pressures)",
                    "IBC 1807.3.2.1 (18-1), Table 1806.2, doubled by 1806.3.4", 0, false});
  else
    ways.push_back({"footing/sideways", "posts in the ground, sideways (short pile)",
                    "Broms 1964 with EN 1997-1 Annex A, Design Approach 1, both combinations", 0, false});
  if (!us && !soil->cohesive)  // Broms leaves the top 1.5 b of clay out already
    ways.push_back({"footing/loose-top", "the same when the top 300 mm give nothing",
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
      if (l.state == "new and bare") bare = std::max(bare, u);
      if (l.year > 0 && u > 1 && (first_year == 0 || l.year < first_year)) first_year = l.year;
      if (l.year <= 0 && u > most) most = u, worst = &l;
    }
    if (worst == nullptr) continue;
    const Footing& f = s.footings[static_cast<std::size_t>(worst->footing)];
    Check c = start(way.id, way.title);
    c.demand = worst->sideways_n / 1000;
    c.capacity = c.demand / most;
    c.unit = "kN";
    c.utilisation = most;
    c.verdict = way.warns_only && most > 1 ? Verdict::attention : verdict_of(most);
    c.source = way.source;
    c.combination = worst->state + ": " + worst->combination;
    if (most <= 1) {
      c.plain = fmt::format("A hole {} deep and {} wide in {} holds: {:.0f} % used ({}).", mm(f.depth), mm(f.diameter),
                            site.soil, 100 * most, c.combination);
    } else {
      const auto all_use = [&](double deeper, double wider) {
        double u = 0;
        for (const PostLoad& l : loads)
          if (!l.equilibrium && l.year <= 0) u = std::max(u, use(l, deeper, wider));
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
      const bool grown = worst->year < 0;
      c.plain = fmt::format("A hole {} deep and {} wide in {} is too weak {}{}{}. Choices: {}; more shelter; {}.",
                            mm(f.depth), mm(f.diameter), site.soil, grown ? "overgrown" : "for: " + c.combination,
                            grown && first_year > 0 ? fmt::format(" (from year {} of growth)", first_year) : "",
                            grown && bare <= 1 ? fmt::format(", though bare it uses only {:.0f} %", 100 * bare) : "",
                            cure, grown ? "a lighter climber or one that is cut back hard" : "more posts or braces");
    }
    checks.push_back(c);
  }

  // Uplift, bearing.
  const PostLoad *lifted = nullptr, *pressed = nullptr;
  double lift_use = 0, press_use = 0, hold = 0, bear = 0;
  const Footing* lifted_hole = nullptr;
  const auto hold_of = [&](const Footing& f, double depth, double diameter) {
    const Piece& post = s[f.post];
    const double solid = std::max(0.0, depth - f.gravel) / 1000;
    return holds_down(site,
                      round_hole(diameter / 1000, solid, post.width.value() / 1000, post.thickness.value() / 1000).net,
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
    } else if (l.year <= 0) {
      const double allowed = presumptive(soil->material_class)->vertical_psf * kKpaPerPsf;
      const double u =
          (bearing_pressure(std::max(0.0, l.down_n) / 1000, f.diameter / 1000) + kConcrete * solid_depth(f)) / allowed;
      if (pressed == nullptr || u > press_use) press_use = u, pressed = &l, bear = allowed;
    }
  }
  if (lifted != nullptr) {
    Check c = start("footing/uplift", "posts pulled up");
    c.demand = lift_use * hold;
    c.capacity = hold;
    c.unit = "kN";
    c.utilisation = lift_use;
    c.verdict = verdict_of(lift_use);
    c.source = us ? "ASCE 7-16 2.4.1 (7): 0.6 of the concrete; a third of the ground's friction (IBC 1810.3.3.1.5)"
                  : "EN 1997-1 2.4.7.4: 0.9 of the concrete; friction with K0 and φ (9.5) or 0.45 cu, Table A.16";
    c.combination = lifted->state + ": " + lifted->combination;
    c.plain = fmt::format(
        "The concrete's weight ({:.1f} kN) and the ground along it ({:.1f} kN) hold the posts down; key it to the post "
        "with screws or notches.",
        parts.weight_kn, parts.friction_kn);
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
          "Wind lifts {:.1f} kN; the concrete's weight gives {:.1f} and the ground along it {:.1f} kN ({}): {}; or "
          "ballast. Two screws across each post key it to the concrete.",
          c.demand, parts.weight_kn, parts.friction_kn, c.combination, cure);
    }
    checks.push_back(c);
  }
  if (pressed != nullptr) {
    Check c = start("footing/bearing", "pressure under the posts");
    c.demand = press_use * bear;
    c.capacity = bear;
    c.unit = "kPa";
    c.utilisation = press_use;
    c.verdict = verdict_of(press_use);
    c.source = "IBC Table 1806.2";
    c.combination = pressed->state + ": " + pressed->combination;
    c.plain = fmt::format("The ground is pressed with {:.0f} of {:.0f} kPa.", c.demand, c.capacity);
    checks.push_back(c);
  }
  // Sizes of the holes: concrete all round the post, and holes that are holes of their own.
  Check narrow = start("footing/width", "concrete round the posts");
  for (const Footing& f : s.footings) {
    const Piece& post = s[f.post];
    const double needs = std::hypot(post.width.value(), post.thickness.value()) + 2 * kConcreteRound;
    if (f.diameter <= 0 || needs / f.diameter <= narrow.utilisation) continue;
    narrow.demand = needs, narrow.capacity = f.diameter, narrow.utilisation = needs / f.diameter;
  }
  narrow.unit = "mm";
  narrow.verdict = narrow.utilisation > 1 ? Verdict::attention : Verdict::ok;
  narrow.source = "40 mm of concrete at a post's corners, our own; the trade digs 2 to 3 posts wide";
  narrow.combination = "sizes";
  narrow.plain = narrow.utilisation > 1
                     ? fmt::format("A hole {} wide leaves too little concrete round the post: dig at least {}.",
                                   mm(narrow.capacity), mm(std::ceil(narrow.demand / 10) * 10))
                     : "Concrete all round the posts.";
  checks.push_back(narrow);
  double nearest = 1e9, wide = 0;
  for (std::size_t i = 0; i < s.footings.size(); ++i)
    for (std::size_t j = i + 1; j < s.footings.size(); ++j) {
      const Vec3 d = s.footings[i].centre - s.footings[j].centre;
      const double b = std::max(s.footings[i].diameter, s.footings[j].diameter);
      if (b > 0 && std::hypot(d.x, d.y) / b < nearest / std::max(wide, 1e-9)) nearest = std::hypot(d.x, d.y), wide = b;
    }
  if (s.footings.size() > 1 && wide > 0 && nearest < ibc::kIsolatedFootings * wide) {
    Check c = start("footing/apart", "holes beside each other");
    c.demand = ibc::kIsolatedFootings * wide, c.capacity = nearest, c.unit = "mm";
    c.utilisation = c.demand / c.capacity;
    c.verdict = Verdict::attention;
    c.source = "ASABE EP486 1.2.1: posts count by themselves from 3 widths of the footing on";
    c.combination = "sizes";
    c.plain = fmt::format(
        "Two holes are {} apart: nearer than three widths they share the ground between them and hold less than is "
        "reckoned here. Dig narrower and deeper.",
        mm(nearest));
    checks.push_back(c);
  }
  const double deepest = std::max_element(s.footings.begin(), s.footings.end(), [](const Footing& a, const Footing& b) {
                           return a.depth < b.depth;
                         })->depth;
  if (deepest > kDeepest) {
    Check c = start("footing/deep", "depth of the holes");
    c.demand = deepest, c.capacity = kDeepest, c.unit = "mm", c.utilisation = deepest / kDeepest;
    c.verdict = Verdict::attention;
    c.source = "common practice, no source: deeper is no work for a spade, and its sides may fall in";
    c.combination = "sizes";
    c.plain = fmt::format("Holes {} deep want an auger; nobody climbs into one.", mm(deepest));
    checks.push_back(c);
  }
  double shallowest = 1e9;
  for (const Footing& f : s.footings) shallowest = std::min(shallowest, f.depth);
  Check c = start("footing/frost", "depth against frost");
  c.demand = site.frost_mm;
  c.capacity = shallowest;
  c.unit = "mm";
  c.utilisation = shallowest > 0 ? site.frost_mm / shallowest : 99;
  c.verdict = c.utilisation > 1 ? Verdict::fails : Verdict::ok;
  c.source = "IBC 1809.5 (from memory); frost depth of the site";
  c.combination = "frost";
  c.plain = c.utilisation > 1
                ? fmt::format("Frost reaches {} and lifts posts: dig at least that deep.", mm(site.frost_mm))
                : fmt::format("Below the frost ({}).", mm(site.frost_mm));
  checks.push_back(c);
  return checks;
}

}  // namespace garthwright::ground
