// SPDX-License-Identifier: Apache-2.0
#include "strength/study.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "frame/along.h"
#include "strength/combinations.h"
#include "strength/ec5_connections.h"
#include "strength/ec5_members.h"
#include "strength/en338.h"
#include "strength/nds_connections.h"
#include "strength/nds_members.h"
#include "strength/nds_values.h"
#include "strength/site_loads.h"

namespace garthwright::strength {
namespace {

using combinations::Combination;
constexpr double kMpaPerPsi = 0.00689476, kMmPerInch = 25.4, kNewtonPerPound = 4.44822;
constexpr double kTrifle = 20;     // N: a joint's pull that is not worth a word
constexpr double kNone = 99;       // use of a fixing that does not reach into its timber
constexpr double kDriftPart = 100;  // sway seen: height over this (our own)

/// Design strengths of one piece in one combination, N/mm².
struct Strengths {
  double fb_edge = 0, fb_flat = 0, ft = 0, fc = 0, fv = 0;
  double kc_edge = 1, kc_flat = 1;  ///< buckling that bends the depth, the thickness
  bool known = false;
  double kcr = 1;
};

/// The shortest action's duration: a class for EN 1995-1-1 Table 3.1, a factor for NDS Table 2.3.2.
struct Duration {
  ec5::Duration en = ec5::Duration::short_term;
  double cd = 1.6;
};
Duration duration_of(const Combination& c) {
  if (c.wind > 0 || c.lift > 0) return {ec5::Duration::short_term, 1.6};
  if (c.snow > 0) return {ec5::Duration::short_term, 1.15};
  if (c.person > 0 || c.live > 0) return {ec5::Duration::short_term, 1.0};
  return {ec5::Duration::permanent, 0.9};
}

Strengths strengths_of(const Site& site, const timber::Section& section, double width, double thickness,
                       double lef_edge, double lef_flat, Duration duration) {
  Strengths r;
  if (site.route == Site::Route::en) {
    const auto c = strength_class(section.strength_class);
    if (!c) return r;
    const double k = ec5::kmod(ec5::ServiceClass::three, duration.en) / ec5::gamma_m(ec5::Material::solid);
    r = {k * c->fm_k * ec5::kh(width, c->rho_k), k * c->fm_k * ec5::kh(thickness, c->rho_k),
         k * c->ft_0_k * ec5::kh(std::max(width, thickness), c->rho_k), k * c->fc_0_k, k * c->fv_k};
    r.kc_edge = ec5::slenderness_of(lef_edge, width, c->fc_0_k, c->e0_05).kc;
    r.kc_flat = ec5::slenderness_of(lef_flat, thickness, c->fc_0_k, c->e0_05).kc;
    r.kcr = ec5::kKcrSolid;
    r.known = true;
    return r;
  }
  std::string species, grade;
  const std::string& name = section.strength_class;
  const std::size_t space = name.find(' ');
  const std::string head = name.substr(0, space);
  grade = space == std::string::npos ? "" : name.substr(space + 1);
  species = head == "SP"                      ? "Southern Pine"
            : head == "DFL" || head == "DF-L" ? "Douglas Fir-Larch"
            : head == "SPF"                   ? "Spruce-Pine-Fir"
            : head == "HF"                    ? "Hem-Fir"
                                              : "Western Cedars";
  const double wide = std::ceil(width / kMmPerInch), thick = std::ceil(thickness / kMmPerInch);
  const bool timbers = thick >= 5, sp = species == "Southern Pine";
  const auto table = timbers ? nds::Table::timbers_4d : sp ? nds::Table::southern_pine_4b : nds::Table::dimension_4a;
  const auto v =
      nds::reference_value(species, grade == "No.2" && species == "Spruce-Pine-Fir" ? "No.1/No.2" : grade, table, wide);
  if (!v) return r;
  const auto cf = [&](nds::Property p) {
    return table == nds::Table::dimension_4a ? nds::size_factor(p, wide, thick) : 1.0;
  };
  const auto cm = [&](nds::Property p, double value) {
    return timbers && sp ? 1.0 : nds::wet_service_factor(p, value);
  };
  using enum nds::Property;
  const double fbr = v->fb * cf(fb) * cm(fb, v->fb * cf(fb)) * duration.cd,
               fcr = v->fc * cf(fc) * cm(fc, v->fc * cf(fc)) * duration.cd;
  r.fb_edge = fbr * kMpaPerPsi;
  r.fb_flat = fbr * kMpaPerPsi;  // flat use would give more
  r.ft = v->ft * cf(ft) * cm(ft, v->ft) * duration.cd * kMpaPerPsi;
  r.fc = fcr * kMpaPerPsi;
  r.fv = v->fv * cm(fv, v->fv) * duration.cd * kMpaPerPsi;
  const double e_min = v->e_min * cm(e, v->e_min);
  r.kc_edge = nds::column(fcr, e_min, std::min(lef_edge, 50 * width), width).cp;
  r.kc_flat = nds::column(fcr, e_min, std::min(lef_flat, 50 * thickness), thickness).cp;
  r.known = true;
  return r;
}

/// Width and thickness left at a place along a piece: notches that reach it are taken off the side they open on.
struct Net {
  double width, thickness;
};
Net net_at(const Piece& piece, double from, double to) {
  Net net{piece.width.value(), piece.thickness.value()};
  for (const Machining& machining : piece.machining)
    if (const Notch* n = std::get_if<Notch>(&machining)) {
      if (to < n->region.min.x - 1 || from > n->region.max.x + 1) continue;
      const bool edge = n->opens_on == Face::edge_low || n->opens_on == Face::edge_high;
      if (edge)
        net.width = std::max(1.0, net.width - n->region.size().y);
      else
        net.thickness = std::max(1.0, net.thickness - n->region.size().z);
    }
  return net;
}

struct Case {
  std::string state;
  const Combination* combination;
  std::vector<std::pair<std::size_t, double>> parts;  ///< unit case, factor
};

double factored(const std::vector<frame::Solution>& unit, const Case& c, auto pick) {
  double sum = 0;
  for (const auto& [index, factor] : c.parts) sum += factor * pick(unit[index]);
  return sum;
}

/// Lateral and pull-out design strength of one fixing in a joint, N.
struct FixingStrength {
  double lateral = 0, axial = 0;
  std::string source;
};
double through(const Structure& s, Body b, Vec3 direction) {
  const Piece& p = s.pieces[static_cast<std::size_t>(b.index)];
  const Vec3 d = p.frame.direction_to_local(direction);
  const double along[3] = {p.length.value(), p.width.value(), p.thickness.value()};
  double least = 1e9;
  for (int i = 0; i < 3; ++i)
    if (std::abs(d[i]) > 1e-6) least = std::min(least, along[i] / std::abs(d[i]));
  return least;
}

FixingStrength strength_of(const Structure& s, const Site& site, const Joint& joint, const Fixing& f,
                           Duration duration) {
  FixingStrength r;
  double before = 0, t_head = 0, t_point = 0;
  Body head = joint.a, point = joint.b;
  for (const Body b : f.through)
    if (b == joint.a || b == joint.b) {
      head = b;
      point = b == joint.a ? joint.b : joint.a;
      break;
    }
  for (const Body b : f.through) {
    if (b == head) break;
    if (b.kind == Body::Kind::piece) before += through(s, b, f.direction);
  }
  t_head = through(s, head, f.direction);
  const bool bolt = f.kind == timber::FixingKind::coach_bolt;
  t_point = std::min(std::max(0.0, f.length - before - t_head), through(s, point, f.direction));
  const Piece& into = s.pieces[static_cast<std::size_t>(point.index)];
  const bool end_grain = std::abs(dot(into.frame.x, f.direction)) > 0.9;
  const double rho1 = stiffness_of(s[s.pieces[static_cast<std::size_t>(head.index)].section]).rho_k,
               rho2 = stiffness_of(s[into.section]).rho_k;
  const double root = bolt                                 ? f.diameter
                      : f.kind == timber::FixingKind::nail ? f.diameter
                                                           : 0.65 * f.diameter;  // thread: common practice
  if (t_point <= 4 * root && !bolt) return r;
  if (site.route == Site::Route::en) {
    const double d = f.kind == timber::FixingKind::nail || bolt ? f.diameter : ec5::screw_effective_diameter(root);
    const auto fh = [&](double rho) {
      return d > 6 ? ec5::bolt_embedment(d, rho, 90) : ec5::nail_embedment(d, rho, f.pilot > 0);
    };
    const bool screw = f.kind == timber::FixingKind::screw || f.kind == timber::FixingKind::coach_screw;
    const double fax = screw && !end_grain && t_point >= 6 * f.diameter
                           ? ec5::screw_withdrawal(f.diameter, t_point, rho2, 90)
                       : bolt ? ec5::washer_capacity(3 * f.diameter, f.diameter + 1, 2.2)
                              : 0;
    const ec5::Shear shear{
        fh(rho1), fh(rho2),
        t_head,   t_point,
        d,        ec5::yield_moment(d, bolt ? 400 : 540),
        fax,      bolt ? ec5::rope_limit(ec5::Fastener::bolt) : screw ? ec5::rope_limit(ec5::Fastener::screw) : 0.0};
    const double k = ec5::kmod(ec5::ServiceClass::three, duration.en) / ec5::gamma_m(ec5::Material::connection);
    r.lateral =
        k * ec5::single_shear(shear).capacity() * (end_grain ? 1.0 / 3 : 1);  // 8.3.1.2(4) for nails; screws alike
    r.axial = k * fax;
    r.source = "EN 1995-1-1 8.2.2 (8.6), 8.7.2 (8.38); screw steel 540 N/mm² and root 0.65 d are common practice";
    return r;
  }
  const double gravity =
      rho2 / 1000 * 1.15;  // oven-dry from the lower 12 % density: on the safe side for the dense pines
  nds::Dowel dowel;
  dowel.d = root / kMmPerInch;
  dowel.nominal_d = f.diameter / kMmPerInch;
  dowel.lm = t_point / kMmPerInch;
  dowel.ls = t_head / kMmPerInch;
  const double fe =
      dowel.nominal_d < 0.25 ? nds::bearing_small(gravity) : nds::bearing_across(gravity, dowel.nominal_d);
  dowel.fem = dowel.fes = fe;
  dowel.fyb = bolt ? 45000 : nds::nail_yield_step(std::min(0.37, dowel.d));
  dowel.degrees = 90;
  const double cd = std::min(duration.cd, 1.6), wet = nds::lateral_wet_factor(nds::WetUse::wet);
  r.lateral = nds::single_shear(dowel).z() * cd * wet * (end_grain ? nds::kEndGrainLateral : 1) * kNewtonPerPound;
  r.axial = bolt        ? 2000
            : end_grain ? 0
                        : nds::wood_screw_withdrawal(gravity, dowel.nominal_d) * dowel.lm * cd *
                              nds::kThreadWithdrawalWet * kNewtonPerPound;
  r.source = "NDS 12.3.1, Table 12.3.1A, 12.2-2, CM 0.7";
  return r;
}

Verdict verdict(double u) { return u > 1 ? Verdict::fails : u > 0.9 ? Verdict::attention : Verdict::ok; }

class Study {
 public:
  Study(const Structure& s, const Site& site, const std::vector<BaseSpring>& bases)
      : s_(s), site_(site), model_(model_of(s, {JointHold::by_fixings, true, bases, 1200})), bases_(bases) {}

  void run(Report& report) {
    StructureReport out;
    out.structure = s_.name;
    out.utilisation.assign(s_.pieces.size(), -1);
    if (model_.bases.empty() || model_.bars.empty()) {
      not_checked(report, "it stands on nothing that this study knows: no post in the ground, no wall",
                  "give its posts holes, or ask an engineer how to anchor it");
      report.structures.push_back(out);
      return;
    }
    const auto solver = frame::Solver::make(model_.frame);
    if (!solver) {
      out.mechanism = solver.error().front().what;
      not_checked(report, "it can move without any resistance: " + out.mechanism, "add a brace or fixings there");
      report.structures.push_back(out);
      return;
    }
    if (!solve_cases(*solver)) {
      not_checked(report, "its frame could not be solved under its loads", "ask an engineer");
      report.structures.push_back(out);
      return;
    }
    members(report, out);
    joints(report, out);
    sway(report, out);
    racking(report, out, *solver);
    bases(out);
    bend(out);
    report.structures.push_back(std::move(out));
  }

 private:
  void not_checked(Report& report, const std::string& what, const std::string& cure) {
    Check c;
    c.id = s_.name + "/frame";
    c.title = s_.name + ": not checked";
    c.structure = s_.name;
    c.unit = "1";
    c.verdict = Verdict::fails;
    c.source = "EN 1990 3.3";
    c.plain = fmt::format("No strength check was possible: {}. Cure: {}.", what, cure);
    report.checks.push_back(c);
  }

  bool solve_cases(const frame::Solver& solver) {
    const SiteLoads loads(s_, model_, site_);
    const Growth g = growth_of(site_);
    std::vector<frame::Loads> all{loads.dead(), loads.plant(1), loads.snow(), loads.lift(false), loads.lift(true)};
    const Vec3 x{1, 0, 0}, y{0, 1, 0};
    bare_ = all.size();
    for (const Vec3 way : {x, y}) all.push_back(loads.wind(way, 0, 0));
    winter_ = all.size();
    for (const Vec3 way : {x, y}) all.push_back(loads.wind(way, g.winter, 1));
    grown_ = all.size();
    // Overgrown counts as closed: the climber's own solidity for the information by years.
    for (const Vec3 way : {x, y}) all.push_back(loads.wind(way, g.any ? 1 : 0, 1));
    years_ = all.size();
    const int mature = g.any ? static_cast<int>(std::ceil(g.years)) : 0;
    for (int year = 1; year < mature; ++year)
      for (const Vec3 way : {x, y}) all.push_back(loads.wind(way, 1, year / g.years));
    const std::vector<SiteLoads::Person> persons = loads.persons();
    const std::size_t first_person = all.size();
    for (const SiteLoads::Person& p : persons) all.push_back(p.loads);
    for (const frame::Loads& l : all) {
      auto solution = solver.solve(l);
      if (!solution) return false;
      unit_.push_back(std::move(*solution));
    }
    const auto make = [&](std::vector<Case>& to, const Combination& c, const std::string& state, std::size_t wind,
                          bool plant, bool grown, bool snow, int year = 0) {
      const double coverage = year > 0 ? year / g.years : 1;
      for (int direction = 0; direction < (c.wind > 0 ? 4 : 1); ++direction) {
        Case k{state, &c, {}};
        k.parts.push_back({0, c.dead});
        if (plant && c.plant > 0) k.parts.push_back({1, c.plant * coverage});
        if (snow && c.snow > 0) k.parts.push_back({2, c.snow});
        if (c.lift > 0) k.parts.push_back({grown ? 4U : 3U, c.lift});
        if (c.wind > 0)
          k.parts.push_back({wind + static_cast<std::size_t>(direction / 2), direction % 2 ? -c.wind : c.wind});
        to.push_back(std::move(k));
      }
    };
    const auto states = [&](std::vector<Case>& to, std::span<const Combination> list) {
      for (const Combination& c : list) {
        if (c.person > 0) {
          for (std::size_t p = 0; p < persons.size(); ++p) {
            Case k{"a person " + persons[p].where, &c, {{0, c.dead}}};
            if (g.any && c.plant > 0) k.parts.push_back({1, c.plant});
            if (c.snow > 0) k.parts.push_back({2, c.snow});
            k.parts.push_back({first_person + p, c.person});
            to.push_back(std::move(k));
          }
          continue;
        }
        if (c.live > 0) continue;  // nobody walks on slats; the person's load stands for it
        make(to, c, "new and bare", bare_, false, false, false);
        if (g.any) make(to, c, "overgrown", grown_, true, true, false);
        make(to, c, "winter", winter_, g.any, false, true);
      }
    };
    const bool us = site_.route == Site::Route::us;
    states(ultimate_, us ? combinations::asce_asd() : combinations::en1990_ultimate());
    states(service_, us ? combinations::asce_asd() : combinations::en1990_serviceability());
    for (int year = 1; year < mature; ++year)
      for (const Combination& c : us ? combinations::asce_asd() : combinations::en1990_serviceability())
        if (c.wind > 0 && c.lift == 0 && c.snow < 0.6 && c.live == 0) {
          const std::size_t first = service_.size();
          make(service_, c, fmt::format("overgrown, year {}", year), years_ + 2 * static_cast<std::size_t>(year - 1),
               true, true, false, year);
          for (std::size_t i = first; i < service_.size(); ++i) year_of_[i] = year;
        }
    return true;
  }

  /// Worst row of all pieces of one mark.
  void keep(std::map<std::string, Check>& worst, Check c) {
    auto [at, is_new] = worst.try_emplace(c.id, c);
    if (!is_new && c.utilisation > at->second.utilisation) at->second = std::move(c);
  }

  void members(Report& report, StructureReport& out) {
    std::map<std::string, Check> worst;
    std::map<std::string, bool> unknown;
    const bool us = site_.route == Site::Route::us;
    std::map<std::tuple<int, int, int>, Strengths> strengths;
    for (const Bar& bar : model_.bars) {
      const Piece& piece = s_[bar.piece];
      const bool post = piece.role == Role::post;
      double reach = 0, gap = 0;
      const auto& stations = model_.stations[static_cast<std::size_t>(bar.piece.index)];
      reach = stations.back().first - stations.front().first;
      for (std::size_t i = 1; i < stations.size(); ++i) gap = std::max(gap, stations[i].first - stations[i - 1].first);
      const double lef = post ? 2.1 * reach : reach;  // a post that stands alone: NDS Table G1, on the safe side
      const Rectangle whole{piece.thickness.value(), piece.width.value()};
      for (const Case& c : ultimate_) {
        const Duration duration = duration_of(*c.combination);
        const auto key =
            std::make_tuple(bar.piece.index, static_cast<int>(duration.en), static_cast<int>(100 * duration.cd));
        auto found = strengths.find(key);
        if (found == strengths.end())
          found = strengths.emplace(key, strengths_of(site_, s_[piece.section], whole.h, whole.b, lef, lef, duration))
                      .first;
        const Strengths& f = found->second;
        if (!f.known) {
          unknown[s_[piece.section].strength_class] = true;
          continue;
        }
        frame::MemberResult sum = unit_[0].members[bar.member];
        sum.end = {}, sum.uniform_n_per_mm = {};
        for (const auto& [index, factor] : c.parts) {
          const frame::MemberResult& r = unit_[index].members[bar.member];
          for (std::size_t i = 0; i < 3; ++i) {
            sum.uniform_n_per_mm[i] += factor * r.uniform_n_per_mm[i];
            for (std::size_t e = 0; e < 2; ++e) {
              sum.end[e].force_n[i] += factor * r.end[e].force_n[i];
              sum.end[e].moment_nmm[i] += factor * r.end[e].moment_nmm[i];
            }
          }
        }
        for (const double x : {0.0, sum.length_mm / 2, sum.length_mm}) {
          const frame::SectionForces q = frame::forces_along(sum, x);
          const Net net = net_at(piece, bar.from_mm + x, bar.from_mm + x);
          const Rectangle r{net.thickness, net.width};
          const double edge = std::abs(q.moment_z_nmm) / r.wy(), flat = std::abs(q.moment_y_nmm) / r.wz();
          const double axial = q.axial_n / r.area();
          double u = 0;
          if (us) {
            const double fc = std::max(0.0, -axial), ft = std::max(0.0, axial);
            const double part = fc / (f.fc * std::min(f.kc_edge, f.kc_flat));
            u = (fc > 0 ? part * part : ft / f.ft) + edge / f.fb_edge + flat / f.fb_flat;
          } else {
            const ec5::Bending bending{edge, f.fb_edge, flat, f.fb_flat};
            u = axial < 0 ? ec5::compression_bending(-axial, f.fc, f.kc_edge, f.kc_flat, bending).worse()
                          : ec5::tension_bending(axial, f.ft, bending);
          }
          const double tau = 1.5 * std::hypot(q.shear_y_n, q.shear_z_n) / (f.kcr * r.area());
          out.utilisation[static_cast<std::size_t>(bar.piece.index)] =
              std::max({out.utilisation[static_cast<std::size_t>(bar.piece.index)], u, tau / f.fv});
          const auto row = [&](const char* what, const char* words, double demand, double capacity, double used,
                               const char* source) {
            Check check;
            check.id = fmt::format("{}/{}/{}", s_.name, piece.mark, what);
            check.title = fmt::format("{} of {} {}", words, piece.name, piece.mark);
            check.structure = s_.name;
            check.demand = demand;
            check.capacity = capacity;
            check.unit = "N/mm²";
            check.utilisation = used;
            check.verdict = verdict(used);
            check.source = source;
            check.combination = fmt::format("{}: {} ({})", c.state, c.combination->name, c.combination->clause);
            keep(worst, check);
          };
          const double stress = edge + flat + std::abs(axial);
          row("bending", "bending with axial force", stress, u > 1e-9 ? stress / u : f.fb_edge, u,
              us ? "NDS 3.9.1, 3.9.2 (FcE terms left out), Table 4A/4B/4D, CD, CM, CF, CP"
                 : "EN 1995-1-1 6.2.3, 6.3.2 (6.23), (6.24), kmod SC3 Table 3.1, γM 1.3; net of notches");
          row("shear", "shear", tau, f.fv, tau / f.fv,
              us ? "NDS 3.4.2" : "EN 1995-1-1 6.1.7, kcr 0.67; net of notches");
        }
      }
    }
    for (const auto& [grade, _] : unknown) {
      Check c;
      c.id = fmt::format("{}/grade {}", s_.name, grade);
      c.title = fmt::format("timber of grade \"{}\"", grade);
      c.structure = s_.name;
      c.unit = "1";
      c.verdict = Verdict::attention;
      c.source = us ? "NDS Supplement" : "EN 338:2016";
      c.plain = fmt::format("Not checked: no strength values are known for \"{}\".", grade);
      report.checks.push_back(c);
    }
    for (auto& [id, c] : worst) {
      c.plain = c.verdict == Verdict::fails
                    ? fmt::format(
                          "Too weak: {:.0f} % of what it can take is asked ({}). Take a larger section, shorter spans, "
                          "or a lighter climber.",
                          100 * c.utilisation, c.combination)
                    : fmt::format("{:.0f} % of its strength is used at most ({}).", 100 * c.utilisation, c.combination);
      report.checks.push_back(c);
    }
  }

  void joints(Report& report, StructureReport&) {
    std::map<std::string, Check> worst;
    for (const Link& link : model_.links) {
      const Joint& joint = s_[link.joint];
      const Piece &a = s_.pieces[static_cast<std::size_t>(joint.a.index)],
                  &b = s_.pieces[static_cast<std::size_t>(joint.b.index)];
      const bool housed =
          joint.kind == JointKind::halving || joint.kind == JointKind::notch || joint.kind == JointKind::housing;
      const frame::Member& member = model_.frame.members[link.member];
      const auto pa = model_.frame.nodes[member.ends[0]].at_mm, pb = model_.frame.nodes[member.ends[1]].at_mm;
      const Vec3 x = unit(Vec3{pb[0] - pa[0], pb[1] - pa[1], pb[2] - pa[2]});
      const Vec3 up{member.up[0], member.up[1], member.up[2]};
      const Vec3 y = unit(up - dot(up, x) * x), z = cross(x, y);
      const Fixing& first = s_.fixings[static_cast<std::size_t>(link.fixings.front())];
      const Vec3 direction = unit(first.direction);
      std::map<int, FixingStrength> by_duration;
      for (const Case& c : ultimate_) {
        const Duration duration = duration_of(*c.combination);
        auto [found, is_new] = by_duration.try_emplace(static_cast<int>(100 * duration.cd));
        if (is_new) found->second = strength_of(s_, site_, joint, first, duration);
        const FixingStrength& one = found->second;
        Vec3 force;
        for (const auto& [index, factor] : c.parts) {
          const auto& f = unit_[index].members[link.member].end[1].force_n;
          force = force + factor * (f[0] * x + f[1] * y + f[2] * z);
        }
        const double along = dot(force, direction);
        Vec3 across = force - along * direction;
        const double n = static_cast<double>(link.fixings.size());
        // A notch bears across itself: only what pulls out of it hangs on the fixing.
        if (housed) across = {};
        const bool end_on = std::abs(dot(x, direction)) > 0.5;
        const double pull = end_on || housed ? std::max(0.0, dot(x, direction) > 0 ? along : -along) : std::abs(along);
        const double lateral = one.lateral > 0 ? norm(across) / n / one.lateral : norm(across) > kTrifle ? kNone : 0;
        const double axial = one.axial > 0 ? pull / n / one.axial : 0;
        const bool end_grain = one.axial <= 0 && pull > kTrifle;  // nothing may be counted on: said, not summed
        const double u = std::hypot(lateral, axial);
        Check check;
        const std::string first_mark = std::min(a.mark, b.mark), second_mark = std::max(a.mark, b.mark);
        check.id = fmt::format("{}/{}-{}/joint", s_.name, first_mark, second_mark);
        check.title = fmt::format("joint of {} {} and {} {}: {} × {}", a.name, a.mark, b.name, b.mark,
                                  link.fixings.size(), first.item);
        check.structure = s_.name;
        check.demand = std::hypot(norm(across), pull) / 1000;
        check.capacity = u > 1e-9 ? check.demand / u : n * one.lateral / 1000;
        check.unit = "kN";
        check.utilisation = u;
        check.verdict = end_grain ? std::max(Verdict::attention, verdict(u)) : verdict(u);
        check.source = one.source + (housed ? "; the notch bears the rest" : "");
        check.combination = fmt::format("{}: {} ({})", c.state, c.combination->name, c.combination->clause);
        check.plain = u > 1 ? fmt::format("Too weak: {} of this fixing would be needed ({}).",
                                          static_cast<int>(std::ceil(n * u)), check.combination)
                            : fmt::format("{:.0f} % of the fixings' strength is used ({}).", 100 * u, check.combination);
        if (end_grain)
          check.plain += fmt::format(" They are also pulled along the grain, with {:.2f} kN, where no strength may be "
                                     "counted on: add an angle bracket or a screw across the grain.", pull / 1000);
        keep(worst, check);
      }
    }
    for (auto& [id, c] : worst) report.checks.push_back(c);
  }

  void sway(Report& report, StructureReport&) {
    Check c;
    c.unit = "mm";
    for (const Base& base : model_.bases) {
      if (base.footing < 0) continue;
      const auto& stations = model_.stations[static_cast<std::size_t>(base.post.index)];
      const frame::NodeIndex top = s_[base.post].frame.x.z > 0 ? stations.back().second : stations.front().second;
      const double height = stations.back().first - stations.front().first;
      for (std::size_t i = 0; i < service_.size(); ++i) {
        if (year_of_.contains(i) || service_[i].combination->person > 0) continue;
        const double dx = factored(unit_, service_[i],
                                   [&](const frame::Solution& r) { return r.displacements[top].translation_mm[0]; });
        const double dy = factored(unit_, service_[i],
                                   [&](const frame::Solution& r) { return r.displacements[top].translation_mm[1]; });
        const double u = std::hypot(dx, dy) / (height / kDriftPart);
        if (u <= c.utilisation) continue;
        c.utilisation = u;
        c.demand = std::hypot(dx, dy);
        c.capacity = height / kDriftPart;
        c.combination = fmt::format("{}: {} ({})", service_[i].state, service_[i].combination->name,
                                    service_[i].combination->clause);
      }
    }
    if (c.utilisation == 0) return;
    c.id = s_.name + "/sway";
    c.title = "sway of the post heads";
    c.structure = s_.name;
    c.verdict = c.utilisation > 1 ? Verdict::attention : Verdict::ok;
    c.source =
        "frame with slip moduli of EN 1995-1-1 Table 7.1; limit height/100, our own: a matter of feel, not of strength";
    c.plain = fmt::format("The heads sway {:.0f} mm ({}){}.", c.demand, c.combination,
                          c.utilisation > 1 ? ": it will be felt; add braces or thicker posts" : "");
    report.checks.push_back(c);
  }

  double racking_stiffness(const Model& m, Vec3 way, std::string* mechanism) {
    const auto solver = frame::Solver::make(m.frame);
    if (!solver) {
      if (mechanism != nullptr) *mechanism = solver.error().front().what;
      return 0;
    }
    frame::Loads loads;
    std::vector<frame::NodeIndex> heads;
    for (const Base& b : m.bases)
      if (b.footing >= 0) {
        const auto& stations = m.stations[static_cast<std::size_t>(b.post.index)];
        heads.push_back(s_[b.post].frame.x.z > 0 ? stations.back().second : stations.front().second);
      }
    if (heads.empty()) return 0;
    const double share = 1000.0 / static_cast<double>(heads.size());
    for (const frame::NodeIndex h : heads) loads.on_nodes.push_back({h, {share * way.x, share * way.y, 0}, {}});
    const auto solution = solver->solve(loads);
    if (!solution) return 0;
    double shift = 0;
    for (const frame::NodeIndex h : heads) {
      const auto& t = solution->displacements[h].translation_mm;
      shift += (t[0] * way.x + t[1] * way.y) / static_cast<double>(heads.size());
    }
    return shift > 0 ? 1000 / shift : 0;
  }

  void racking(Report& report, StructureReport& out, const frame::Solver&) {
    out.racking_x = racking_stiffness(model_, {1, 0, 0}, &out.mechanism);
    out.racking_y = racking_stiffness(model_, {0, 1, 0}, &out.mechanism);
    if (out.racking_x <= 0) return;
    const bool braced =
        std::any_of(s_.pieces.begin(), s_.pieces.end(), [](const Piece& p) { return p.role == Role::brace; });
    const Model unbraced = braced ? model_of(s_, {JointHold::by_fixings, false, bases_, 1200}) : model_;
    out.racking_x_unbraced = racking_stiffness(unbraced, {1, 0, 0}, nullptr);
    out.racking_y_unbraced = racking_stiffness(unbraced, {0, 1, 0}, nullptr);
    Check c;
    c.id = s_.name + "/racking";
    c.title = "racking along the opening";
    c.structure = s_.name;
    c.demand = 1000 / out.racking_x;
    c.capacity = 1000 / std::max(1e-6, out.racking_x_unbraced);
    c.unit = "mm";
    c.utilisation = c.demand / c.capacity;
    c.verdict = Verdict::ok;
    c.source = "frame with slip moduli of EN 1995-1-1 Table 7.1; 1 kN at the heads, with braces against without";
    c.combination = "1 kN sideways at the heads";
    c.plain = braced ? fmt::format(
                           "1 kN along the opening moves the heads {:.0f} mm; until the braces are in, {:.0f} mm: it "
                           "racks along the opening.",
                           c.demand, c.capacity)
                     : fmt::format(
                           "There are no braces: 1 kN along the opening moves the heads {:.0f} mm; only the posts in "
                           "the ground resist.",
                           c.demand);
    report.checks.push_back(c);
  }

  void bases(StructureReport& out) {
    const auto give = [&](const Case& c, FootingLoad::Level level, int year) {
      for (const Base& base : model_.bases) {
        if (base.footing < 0) continue;
        const auto force = [&](std::size_t i) {
          return factored(unit_, c, [&](const frame::Solution& r) { return r.reactions[base.support].force_n[i]; });
        };
        const auto moment = [&](std::size_t i) {
          return factored(unit_, c, [&](const frame::Solution& r) { return r.reactions[base.support].moment_nmm[i]; });
        };
        out.footing_loads.push_back({base.footing, level, c.state,
                                     fmt::format("{} ({})", c.combination->name, c.combination->clause), year,
                                     std::hypot(force(0), force(1)),
                                     std::hypot(moment(0) + base.depth_mm * force(1), moment(1) - base.depth_mm * force(0)),
                                     force(2)});
      }
    };
    for (std::size_t i = 0; i < service_.size(); ++i)
      give(service_[i], FootingLoad::Level::service,
           year_of_.contains(i)               ? year_of_[i]
           : service_[i].state == "overgrown" ? -1
                                              : 0);
    for (const Case& c : ultimate_)
      if (c.combination->lift > 0) give(c, FootingLoad::Level::equilibrium, 0);
  }

  void bend(StructureReport& out) {
    for (const Bar& bar : model_.bars) {
      const frame::Member& m = model_.frame.members[bar.member];
      const auto shift = [&](frame::NodeIndex n) {
        const auto& g = unit_[0].displacements[n].translation_mm;
        const auto& w = unit_[grown_].displacements[n].translation_mm;
        return Vec3{g[0] + w[0], g[1] + w[1], g[2] + w[2]};
      };
      out.bent.push_back({bar.piece, middle_at(s_[bar.piece], bar.from_mm), middle_at(s_[bar.piece], bar.to_mm),
                          shift(m.ends[0]), shift(m.ends[1])});
    }
  }

  const Structure& s_;
  const Site& site_;
  Model model_;
  const std::vector<BaseSpring>& bases_;
  std::vector<frame::Solution> unit_;
  std::size_t bare_ = 0, winter_ = 0, grown_ = 0, years_ = 0;
  std::vector<Case> ultimate_, service_;
  std::map<std::size_t, int> year_of_;
};

}  // namespace

Report study(const std::vector<Structure>& structures, const Site& site,
             const std::vector<std::vector<BaseSpring>>& bases) {
  Report report;
  const std::vector<BaseSpring> none;
  for (std::size_t i = 0; i < structures.size(); ++i)
    Study(structures[i], site, i < bases.size() ? bases[i] : none).run(report);
  return report;
}

}  // namespace garthwright::strength
