// SPDX-License-Identifier: Apache-2.0
#include "strength/study.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

#include "strength/checks.h"
#include "strength/growing.h"

namespace garthwright::strength {

/// A frame with parts that move freely was looked at and falls; whatever else stops the sums leaves it unchecked.
Check no_frame(const Diagnostic& why) {
  const bool falls = why.code == "mechanism";
  Check c = new_check(CheckKind::unsolved);
  c.unit = "1";
  c.verdict = falls ? Verdict::fails : Verdict::attention;
  c.source = "EN 1990 3.3";
  c.plain = fmt::format("No strength check was possible: {}. Cure: {}.", why.what,
                        why.cure.empty() ? "ask an engineer" : why.cure);
  return c;
}

namespace {

/// What comes off, with the first case that takes it; those cases say nothing of anything else.
void check_loose(const Solved& s, Checks& checks) {
  if (s.loosened.empty()) return;
  std::vector<std::string> all;
  for (const Loosened& l : s.loosened)
    if (const std::string words = words_of(s.structure, l); std::find(all.begin(), all.end(), words) == all.end())
      all.push_back(words);
  Check c = new_check(CheckKind::unsolved, {s.loosened.front().body});
  c.when = s.loosened.front().when;
  c.unit = "1";
  c.utilisation = 99;
  c.verdict = Verdict::fails;
  c.source = "balance of forces, faces push and never pull; EN 1990 3.3, 6.4.1 EQU";
  c.plain = fmt::format("Nothing holds it there: {}. Fix it so that it is held that way; nothing else was checked {}.",
                        fmt::join(all, "; "), s.loosened.size() == 1 ? "in that case" : "in those cases");
  checks.push_back(std::move(c));
}

void footing_loads(const Solved& s, StructureReport& out) {
  const auto give = [&](const Case& c, FootingLoad::Level level) {
    for (const Base& base : s.model.bases) {
      if (base.footing < 0) continue;
      const frame::Wrench r = s.reaction(c, base.support);
      const auto& f = r.force_n;
      // The springs stand below the ground: their moment is brought up to its surface.
      const double mx = r.moment_nmm[0] + base.depth_mm * f[1], my = r.moment_nmm[1] - base.depth_mm * f[0];
      out.footing_loads.push_back({base.footing, level, c.when, std::hypot(f[0], f[1]), std::hypot(mx, my), f[2]});
    }
  };
  for (const Case& c : s.service) give(c, FootingLoad::Level::service);
  for (const Case& c : s.equilibrium) give(c, FootingLoad::Level::equilibrium);
}

/// Overgrown, under its weight and wind along the opening.
void bend(const Solved& s, StructureReport& out) {
  for (const Bar& bar : s.model.bars) {
    const auto& ends = s.model.frame.members[bar.member].ends;
    out.bent.push_back({bar.piece, middle_at(s.structure[bar.piece], bar.from_mm),
                        middle_at(s.structure[bar.piece], bar.to_mm), s.shift(s.picture, ends[0]),
                        s.shift(s.picture, ends[1])});
  }
}

/// Whether anything gives, under whatever was solved.
void check_strength(const Solved& solved, Checks& checks, std::vector<double>& used) {
  check_loose(solved, checks);
  check_members(solved, checks, used);
  check_notches(solved, checks);
  check_bearing(solved, checks);
  check_joints(solved, checks);
  check_shoes(solved, checks);
  check_stands_loose(solved, checks);
}

}  // namespace

Report study(const Structure& structure, Carcass& carcass, const Site& site, const std::vector<BaseSpring>& bases) {
  Report report;
  StructureReport& out = report.structures.emplace_back();
  out.structure = structure.name;
  out.utilisation.assign(structure.pieces.size(), -1);
  const auto solved = carcass.solve(site);
  if (!solved) {
    out.mechanism = solved.error().front().what;
    report.checks.push_back(no_frame(solved.error().front()));
    return report;
  }
  Checks& checks = report.checks;
  check_strength(*solved, checks, out.utilisation);
  check_hinges(structure, site, checks);
  check_sway(*solved, checks);
  check_sag(*solved, checks);
  check_buckling(*solved, checks);
  Racking braced, unbraced;
  check_racking(*solved, bases, checks, braced, unbraced);
  out.racking_x = braced.x, out.racking_y = braced.y;
  out.racking_x_unbraced = unbraced.x, out.racking_y_unbraced = unbraced.y;
  check_movement(structure, site, checks);
  check_durability(structure, checks);
  footing_loads(*solved, out);
  bend(*solved, out);
  return report;
}

Report study(const Structure& structure, Carcass& carcass, const Site& site, const Asking& asking) {
  Report report;
  StructureReport& out = report.structures.emplace_back();
  out.utilisation.assign(structure.pieces.size(), -1);
  const auto solved = carcass.solve(site, asking);
  if (!solved) {
    out.mechanism = solved.error().front().what;
    report.checks.push_back(no_frame(solved.error().front()));
    return report;
  }
  check_strength(*solved, report.checks, out.utilisation);
  if (asking.state == State::Kind::any || asking.state == State::Kind::person) {
    Checks hinges;
    check_hinges(structure, site, hinges);
    for (Check& c : hinges)
      if (!asking.situation || *asking.situation == c.when) report.checks.push_back(std::move(c));
  }
  footing_loads(*solved, out);
  return report;
}

std::vector<FootingLoad> as_it_grows(const Structure& structure, const Site& site,
                                     const std::vector<BaseSpring>& bases) {
  const auto model =
      std::make_shared<const Model>(model_of(structure, {true, bases, 1200, site.route == Site::Route::us}));
  const auto solver = frame::Solver::make(model->in_use(), {.may_be_loose = true});
  if (!solver) return {};
  frame::Series series(*solver);
  const Site here = site_for(structure, site);
  Solved solved(structure, site, model);
  Situations years = years_of(SiteLoads(structure, *model, here), here);
  solved.actions = std::move(years.actions);
  for (Case& c : years.service) {
    auto solution = series.solve(solved.loads(c));
    if (!solution) continue;
    c.solution = solved.solutions.size();
    solved.solutions.push_back(std::move(*solution));
    solved.service.push_back(std::move(c));
  }
  StructureReport report;
  footing_loads(solved, report);
  return std::move(report.footing_loads);
}

Report study(const Garden& garden, const Site& site, const std::vector<std::vector<BaseSpring>>& bases) {
  Report report;
  const std::vector<BaseSpring> none;
  for (std::size_t i = 0; i < garden.structures.size(); ++i) {
    const std::vector<BaseSpring>& ground = i < bases.size() ? bases[i] : none;
    Report one;
    if (auto carcass = Carcass::make(garden.structures[i], site, ground)) {
      one = study(garden.structures[i], *carcass, site, ground);
    } else {
      one.structures.emplace_back().structure = garden.structures[i].name;
      one.structures.back().utilisation.assign(garden.structures[i].pieces.size(), -1);
      one.structures.back().mechanism = carcass.error().front().what;
      one.checks.push_back(no_frame(carcass.error().front()));
    }
    report.structures.push_back(std::move(one.structures.front()));
    for (Check& c : one.checks) {
      c.part = PartId{static_cast<int>(i)};
      report.checks.push_back(std::move(c));
    }
  }
  return report;
}

}  // namespace garthwright::strength
