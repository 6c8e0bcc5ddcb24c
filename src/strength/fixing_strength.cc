// SPDX-License-Identifier: Apache-2.0
#include "strength/fixing_strength.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "base/us_customary.h"
#include "strength/ec5_connections.h"
#include "strength/en338.h"
#include "strength/nds_connections.h"
#include "strength/nds_values.h"
#include "strength/slip_moduli.h"

namespace garthwright::strength {
namespace {

constexpr double kDegrees = 180 / std::numbers::pi;
constexpr double kSteel = 1.3;    // γM of steel in a pulled screw: the larger of 1.25 and 1.3 in use
constexpr double kDry = 0.20;     // water over dry mass above which timber is taken to shrink away under a washer
constexpr double kDrying = 0.28;  // near the saturation of fibres
constexpr double kDryingNails = 2.0 / 3;  // EN 1995-1-1 8.3.2(8)
constexpr int kLeastInEndGrain = 3;       // 8.3.1.2(4), (5)
constexpr double kLeastInPoint = 4;       // roots in the last timber (8.7.1(3) asks four diameters of shank)
constexpr double kSofestAcross = 2.2;     // N/mm²: C14, for a class that is not known
constexpr double kLagTip = 0.6;           // diameters: NDS Appendix L2, from memory

const timber::Section& section_of(const Structure& s, Body b) {
  return s[s.pieces[static_cast<std::size_t>(b.index)].section];
}
bool is_piece(Body b) { return b.kind == Body::Kind::piece; }

/// Angle between a direction and a timber's grain, 0 to 90 degrees.
double to_grain(const Structure& s, Body b, Vec3 direction) {
  const double length = norm(direction);
  if (length <= 0) return 90;
  const Vec3 grain = s.pieces[static_cast<std::size_t>(b.index)].frame.x;
  return std::acos(std::min(1.0, std::abs(dot(grain, direction)) / length)) * kDegrees;
}

/// One plane of a fixing, head side first.
struct Plane {
  const Structure& s;
  const PlacedFixing& f;
  int index;
  Vec3 across;  // the force's part across the fixing

  const Fixing& fixing() const { return *f.fixing; }
  const Layer& head() const { return f.seat.layers[static_cast<std::size_t>(index)]; }
  const Layer& point() const { return f.seat.layers[static_cast<std::size_t>(index) + 1]; }
  bool last() const { return static_cast<std::size_t>(index) + 2 == f.seat.layers.size(); }
  bool end_grain() const { return head().end_grain || point().end_grain; }
  double thread_from() const { return f.seat.point - f.values.thread; }
  /// The timber in the middle of three that both planes share: the point's of the first plane, the head's of the last.
  bool middle_is_point() const { return index == 0; }
  double thread_in_point() const {
    double sum = 0;
    for (std::size_t i = static_cast<std::size_t>(index) + 1; i < f.seat.layers.size(); ++i)
      sum += within(f.seat.layers[i], thread_from(), f.seat.point);
    return sum;
  }
};

// ---- European -------------------------------------------------------------------------------------------------------

/// 8.7.1(3): the shank where it reaches 4 d into the point's side, else 1.1 of the root.
double lateral_diameter(const Plane& p) {
  const FixingValues& v = p.f.values;
  if (!is_threaded(p.fixing().kind)) return v.d;
  const double reach = p.thread_from() - p.head().to;
  return reach >= 4 * v.d ? v.shank : ec5::screw_effective_diameter(v.root);
}

double embedment(const Plane& p, Body b, double d) {
  const double rho = density_k(p.s, b);
  const bool nail = !is_bolt(p.fixing().kind) && ec5::follows_nail_rules(d);
  if (nail) return ec5::nail_embedment(d, rho, p.fixing().pilot > 0);
  const auto c = strength_class(section_of(p.s, b).strength_class);
  return ec5::bolt_embedment(d, rho, to_grain(p.s, b, p.across),
                             c && !c->softwood ? ec5::Wood::hardwood : ec5::Wood::softwood);
}

/// Pull that threads hold in one timber.
double thread_pull(const Plane& p, const Layer& layer, double length) {
  const FixingValues& v = p.f.values;
  if (length <= 0 || !is_piece(layer.body)) return 0;
  const double degrees = to_grain(p.s, layer.body, p.f.seat.direction);
  const double part = layer.end_grain ? p.fixing().make.end_grain_along : 1;
  const double angle = layer.end_grain ? 90 : degrees;
  const double rho = density_k(p.s, layer.body);
  return part * (v.fax > 0 ? ec5::declared_screw_withdrawal(v.fax, v.d, length, angle, rho, v.rho)
                           : ec5::screw_withdrawal(v.d, length, rho, angle));
}

/// Characteristic: what timber gives, and what steel gives.
struct Pull {
  double timber = 0, steel = 1e12;
  std::string mode;
  void least(double value, const char* name) {
    if (mode.empty() || value < timber) timber = value, mode = name;
  }
};

Pull screw_pull(const Plane& p) {
  const FixingValues& v = p.f.values;
  const std::vector<Layer>& layers = p.f.seat.layers;
  const double from = p.thread_from();
  double point = 0, head_thread = 0;
  for (std::size_t i = 0; i < layers.size(); ++i) {
    const double pull = thread_pull(p, layers[i], within(layers[i], from, p.f.seat.point));
    (i <= static_cast<std::size_t>(p.index) ? head_thread : point) += pull;
  }
  if (p.thread_in_point() < 6 * v.d - 1e-6) point = 0;  // 8.7.2(3)
  const Layer& under = layers.front();
  double head = 0;
  if (is_piece(under.body) && v.fhead > 0)
    head = ec5::head_pull_through(v.fhead, v.head, density_k(p.s, under.body), v.rho);
  else if (is_piece(under.body))
    head = ec5::washer_capacity(std::max(v.head, p.fixing().make.washer_mm), p.fixing().clearance,
                                fc_across(p.s, under.body));
  Pull pull;
  pull.least(point, "thread");
  pull.least(std::max(head, head_thread), "head");
  pull.steel = v.tension;
  return pull;
}

Pull bolt_pull(const Plane& p) {
  const Fixing& f = p.fixing();
  const double hole = f.clearance > 0 ? f.clearance : ec5::bolt_hole(f.diameter).in_timber;
  const double washer = f.make.washer_mm > 0 ? f.make.washer_mm : ec5::bolt_hole(f.diameter).washer;
  const auto bears = [&](Body b, double across) {
    return is_piece(b) ? ec5::washer_capacity(across, hole, fc_across(p.s, b)) : 1e12;
  };
  Pull pull;
  pull.least(bears(p.f.seat.layers.back().body, washer), "washer");
  pull.least(bears(p.f.seat.layers.front().body, f.kind == timber::FixingKind::bolt ? washer : f.across_head), "head");
  pull.steel = p.f.values.tension;
  return pull;
}

Pull nail_pull(const Plane& p, Duration duration) {
  const FixingValues& v = p.f.values;
  const Layer &under = p.f.seat.layers.front(), &into = p.f.seat.layers.back();
  Pull pull;
  if (into.end_grain || !is_piece(into.body) || !is_piece(under.body)) {
    pull.least(0, "end grain");
    return pull;
  }
  const double rho = density_k(p.s, into.body), rho_head = density_k(p.s, under.body);
  if (p.fixing().make.shank == timber::Shank::ringed) {
    pull.least(ec5::other_nail_withdrawal(v.fax, v.d, into.thick()), "thread");
    pull.least(v.fhead * v.head * v.head, "head");
    return pull;
  }
  if (duration.en == ec5::Duration::permanent || duration.en == ec5::Duration::long_term) {
    pull.least(0, "lasting");
    return pull;
  }
  const bool dries = section_of(p.s, into.body).moisture_as_bought > kDrying;
  pull.least((dries ? kDryingNails : 1.0) *
                 ec5::smooth_nail_withdrawal(v.d, v.head, into.thick(), under.thick(), rho, rho_head),
             "nail");
  return pull;
}

double rope_limit_of(const Plane& p) {
  const Fixing& f = p.fixing();
  switch (f.kind) {
    case timber::FixingKind::screw:
    case timber::FixingKind::coach_screw:
      return ec5::rope_limit(ec5::Fastener::screw);
    case timber::FixingKind::bolt: {  // a bolt in timber that dries away under its washers pulls nothing together
      const auto dry = [&](Body b) { return !is_piece(b) || section_of(p.s, b).moisture_as_bought <= kDry; };
      return dry(p.head().body) && dry(p.point().body) ? ec5::rope_limit(ec5::Fastener::bolt) : 0;
    }
    case timber::FixingKind::nail:
      if (f.make.shank == timber::Shank::square) return ec5::rope_limit(ec5::Fastener::square_nail);
      if (f.make.shank == timber::Shank::ringed && !f.make.declared_by.empty())
        return ec5::rope_limit(ec5::Fastener::other_nail);
      return ec5::rope_limit(ec5::Fastener::round_nail);
    default:
      return 0;
  }
}

PlaneStrength european(const Plane& p, const Site& site, Duration duration, const JointShare& share) {
  const Fixing& f = p.fixing();
  const FixingValues& v = p.f.values;
  const double k = kmod(site, duration) / ec5::gamma_m(ec5::Material::connection);
  PlaneStrength r;
  const Pull pull = is_threaded(f.kind) ? screw_pull(p) : is_bolt(f.kind) ? bolt_pull(p) : nail_pull(p, duration);
  const double grouped = is_threaded(f.kind) && share.pulled > 1 ? ec5::axial_group(share.pulled) / share.pulled : 1;
  r.axial = std::min(k * pull.timber, pull.steel / kSteel) * grouped;
  const std::string along = k * pull.timber <= pull.steel / kSteel ? pull.mode : "steel";

  const double d = lateral_diameter(p);
  const double least = is_bolt(f.kind)       ? 0
                       : is_threaded(f.kind) ? kLeastInPoint * v.root
                       : f.kind == timber::FixingKind::nail && f.make.shank == timber::Shank::smooth ? 8 * v.d
                                                                                                     : 6 * v.d;
  double part = 1;
  if (p.end_grain()) {
    part = share.fixings >= kLeastInEndGrain ? f.make.end_grain_across : 0;
    if (part <= 0)
      r.why = f.make.end_grain_across > 0 ? "fewer than three of them are in end grain"
                                          : "in end grain outdoors it may be counted on for nothing";
  }
  if (p.last() && p.point().thick() < least - 0.05) {
    part = 0;
    r.why = "too little of it is in the last timber";
  }
  const auto side = [&](const Layer& layer) { return embedment(p, layer.body, d); };
  ec5::Shear shear;
  shear.d = d;
  shear.my = v.my > 0 ? v.my : ec5::yield_moment(d, v.fu, v.my_part);
  shear.fax = std::min(pull.timber, pull.steel);
  shear.rope_limit = rope_limit_of(p);
  double johansen = 0;
  std::string across;
  if (part <= 0) {
    across = "none";
  } else if (share.middle_pulled_both_ways && p.f.seat.layers.size() == 3) {
    const Layer &outer = p.middle_is_point() ? p.head() : p.point(),
                &middle = p.middle_is_point() ? p.point() : p.head();
    shear.fh1 = side(outer), shear.t1 = outer.thick();
    shear.fh2 = side(middle), shear.t2 = middle.thick();
    const ec5::Modes<4> m = ec5::double_shear(shear);
    johansen = m.capacity(), across = std::string(1, "ghjk"[m.governing]);
  } else {
    shear.fh1 = side(p.head()), shear.t1 = p.head().thick();
    shear.fh2 = side(p.point()), shear.t2 = p.point().thick();
    if (shear.t1 > 0 && shear.t2 > 0) {
      const ec5::Modes<6> m = ec5::single_shear(shear);
      johansen = m.capacity(), across = std::string(1, "abcdef"[m.governing]);
    } else {
      r.why = "it does not reach both timbers";
    }
  }
  r.lateral = k * johansen * part;
  r.mode = across + ", " + along;
  return r;
}

// ---- American -------------------------------------------------------------------------------------------------------

PlaneStrength american(const Plane& p, const Site& site, Duration duration, const JointShare& share) {
  const Fixing& f = p.fixing();
  const FixingValues& v = p.f.values;
  const double nominal = v.d / kMillimetresPerInch;
  PlaneStrength r;
  const bool thick = nominal >= 0.25 - 1e-9, end_grain = p.end_grain();

  // ---- along ----
  const Layer &under = p.f.seat.layers.front(), &into = p.f.seat.layers.back();
  double pull = 0;
  std::string along = "none";
  const double wet = nds::kThreadWithdrawalWet;
  const double side_in = under.thick() / kMillimetresPerInch;
  const auto through_head = [&] {
    return nds::head_pull_through(gravity_of(p.s, under.body), v.head / kMillimetresPerInch, side_in) * duration.cd *
           wet;
  };
  const auto washer = [&](const Layer& layer, double across) {
    const double hole = (f.clearance > 0 ? f.clearance : v.d + 1.6) / kMillimetresPerInch;
    const Piece& piece = p.s.pieces[static_cast<std::size_t>(layer.body.index)];
    const double x = piece.frame.to_local(p.f.seat.head).x;
    const bool far = std::min(x, piece.length.value() - x) >= 3 * kMillimetresPerInch;
    return nds::washer_bearing(across / kMillimetresPerInch, hole, fc_across_psi(p.s, site, layer.body), far);
  };
  const double washer_mm = f.make.washer_mm > 0 ? f.make.washer_mm : 3 * v.d;
  if (is_bolt(f.kind)) {
    const double head =
        is_piece(under.body) ? washer(under, f.kind == timber::FixingKind::bolt ? washer_mm : v.head) : 1e9;
    const double nut = is_piece(into.body) ? washer(into, washer_mm) : 1e9;
    pull = std::min(head, nut), along = head < nut ? "head" : "washer";
  } else if (is_piece(into.body)) {
    const double g = gravity_of(p.s, into.body);
    double holds = 0;
    if (f.kind == timber::FixingKind::coach_screw) {
      const double thread = std::max(0.0, p.thread_in_point() / kMillimetresPerInch - kLagTip * nominal);
      holds = nds::lag_withdrawal(g, nominal) * thread * wet * (into.end_grain ? nds::kEndGrainLag : 1);
    } else if (f.kind == timber::FixingKind::screw) {
      holds =
          into.end_grain ? 0 : nds::wood_screw_withdrawal(g, nominal) * p.thread_in_point() / kMillimetresPerInch * wet;
    } else if (f.kind == timber::FixingKind::nail) {
      holds = (into.end_grain ? nds::kEndGrainNail : 1) * into.thick() / kMillimetresPerInch *
              (f.make.shank == timber::Shank::ringed
                   ? nds::ring_nail_withdrawal(g, nominal)
                   : nds::nail_withdrawal(g, nominal) * nds::nail_withdrawal_wet_factor(true));
    }
    const double head = !is_piece(under.body)                       ? 1e9
                        : f.kind == timber::FixingKind::coach_screw ? washer(under, std::max(v.head, f.make.washer_mm))
                                                                    : through_head();
    pull = std::min(holds * duration.cd, head), along = holds * duration.cd <= head ? "thread" : "head";
  }
  r.axial = pull * kNewtonPerPound;

  // ---- across ----
  nds::Dowel dowel;
  dowel.d = v.root / kMillimetresPerInch;
  dowel.nominal_d = nominal;
  const bool both = share.middle_pulled_both_ways && p.f.seat.layers.size() == 3;
  const bool main_is_point = both ? p.middle_is_point() : true;
  const Layer &main = main_is_point ? p.point() : p.head(), &side = main_is_point ? p.head() : p.point();
  dowel.lm = main.thick() / kMillimetresPerInch, dowel.ls = side.thick() / kMillimetresPerInch;
  const double angle_main = to_grain(p.s, main.body, p.across), angle_side = to_grain(p.s, side.body, p.across);
  const auto bearing = [&](Body b, double degrees) {
    const double g = gravity_of(p.s, b);
    return thick ? nds::bearing_at(g, nominal, degrees) : nds::bearing_small(g);
  };
  dowel.fem = bearing(main.body, angle_main), dowel.fes = bearing(side.body, angle_side);
  dowel.fyb = is_bolt(f.kind) ? 45000 : nds::nail_yield_step(nominal);
  dowel.degrees = std::max(angle_main, angle_side);
  double reach = 1;
  if (p.last() && !is_bolt(f.kind)) {  // 12.1.4.6 lag screws 4 D; 12.1.5.6, 12.1.6.4 others 6 D
    const double in = p.point().thick() / kMillimetresPerInch;
    reach = f.kind == timber::FixingKind::coach_screw ? (in >= 4 * nominal - 1e-6 ? 1.0 : 0.0)
                                                      : nds::penetration_factor(in, nominal);
    if (reach <= 0) r.why = "too little of it is in the last timber";
  }
  std::string across = "none";
  double z = 0;
  if (dowel.lm > 0 && dowel.ls > 0) {
    const nds::Yield y = both ? nds::double_shear(dowel) : nds::single_shear(dowel);
    constexpr std::array kModes{"Im", "Is", "II", "IIIm", "IIIs", "IV"};
    z = both ? y.z() / 2 : y.z(), across = kModes[static_cast<std::size_t>(y.governing)];
  } else {
    r.why = "it does not reach both timbers";
  }
  r.lateral = z * reach * duration.cd * nds::lateral_wet_factor(nds::WetUse::wet) *
              (end_grain ? nds::kEndGrainLateral : 1) * (thick ? share.geometry * share.group : 1) * kNewtonPerPound;
  // A maker's allowable loads in place of the formulas; wet and near to an end as those, and nothing where they are
  // short of timber.
  if (f.make.side_n > 0 && !end_grain && dowel.lm > 0 && dowel.ls > 0)
    r.lateral = f.make.side_n * (reach > 0 ? 1 : 0) * duration.cd * nds::lateral_wet_factor(nds::WetUse::wet) *
                (thick ? share.geometry * share.group : 1),
    across = "declared";
  if (f.make.pull_n > 0 && is_threaded(f.kind) && !into.end_grain)
    r.axial = f.make.pull_n * duration.cd * wet, along = "declared";
  if (thick && share.geometry <= 0) r.why = "it is nearer to an end or to the next than the least that is allowed";
  r.mode = across + ", " + along;
  return r;
}

// ---- parts bent from sheet ------------------------------------------------------------------------------------------

PlaneStrength connector(const Site& site, const Fixing& f, Duration duration) {
  const double k = part_of_declared(site, duration);
  return {k * f.make.side_n, k * f.make.pull_n, "declared", {}};
}

}  // namespace

double part_of_declared(const Site& site, Duration duration) {
  return site.route == Site::Route::us ? duration.cd : kmod(site, duration) / ec5::gamma_m(ec5::Material::connection);
}

double density_k(const Structure& s, Body b) {
  const timber::Section& section = section_of(s, b);
  if (const auto c = strength_class(section.strength_class)) return c->rho_k;
  return (section.density_dry_kg_m3 > 0 ? section.density_dry_kg_m3 : 350) / 1.2;  // EN 338: rho_k = rho_mean / 1.2
}

double fc_across(const Structure& s, Body b) {
  const auto c = strength_class(section_of(s, b).strength_class);
  return c ? c->fc_90_k : kSofestAcross;
}

double fc_across_psi(const Structure& s, const Site& site, Body b) {
  const auto v = design_values(site, section_of(s, b), Free{90, 90, 1000, 1000}, Duration{});
  return v ? v->fc_across / kMpaPerPsi : 425 * 0.67;  // of spruce-pine-fir
}

double gravity_of(const Structure& s, Body b) {
  if (const auto g = specific_gravity_of(section_of(s, b))) return *g;
  return density_k(s, b) / 1000;  // of a species that the NDS does not list: below its mean
}

std::string source_of(const Site& site, const PlacedFixing& placed) {
  const Fixing& f = *placed.fixing;
  const bool us = site.route == Site::Route::us;
  if (is_connector(f.kind))
    return us ? "allowable loads declared by: " + f.make.declared_by + ", CD"
              : "characteristic values declared by: " + f.make.declared_by +
                    ", kmod of service class 3, γM 1.3 (EN 1995-1-1 2.4.3)";
  if (us)
    return "NDS 12.3.1, Tables 12.3.1A, B, 12.3.3, 12.2, 12.4, 12.5; CD, CM 0.7; bolts pulled by 3.10.4, 12.1.3" +
           (f.make.side_n > 0 || f.make.pull_n > 0 ? "; allowable loads declared by: " + f.make.declared_by : "");
  return std::string(is_bolt(f.kind)       ? "EN 1995-1-1 8.2.2, 8.5.1, 8.5.2, 8.5.3"
                     : is_threaded(f.kind) ? "EN 1995-1-1 8.2.2, 8.7.1, 8.7.2 (8.38)–(8.41), 8.7.3"
                                           : "EN 1995-1-1 8.2.2, 8.3.1, 8.3.2, 8.3.3") +
         ", kmod of service class 3, γM 1.3; " + placed.values.words;
}

PlacedFixing placed(const Structure& s, const Fixing& f) { return {&f, seat_of(s, f), values_of(f)}; }

Asked asked_of(const PlacedFixing& f, Vec3 force) {
  if (norm(f.fixing->leg) >
      0) {  // sideways along the fold; any other way a leg is pulled off its face, or pressed to it
    const Vec3 fold = unit(cross(f.fixing->leg, f.fixing->direction));
    const double side = dot(force, fold);
    return {std::abs(side), norm(force - side * fold)};
  }
  const double along = dot(force, f.seat.direction);
  return {norm(force - along * f.seat.direction), std::max(0.0, -along)};
}

PlaneStrength plane_strength(const Structure& s, const Site& site, const PlacedFixing& f, int plane, Vec3 force,
                             Duration duration, const JointShare& share) {
  if (is_connector(f.fixing->kind)) return connector(site, *f.fixing, duration);
  const Vec3 across = force - dot(force, f.seat.direction) * f.seat.direction;
  const Plane p{s, f, plane, across};
  return site.route == Site::Route::us ? american(p, site, duration, share) : european(p, site, duration, share);
}

double plane_use(const Site& site, const Fixing& f, const PlaneStrength& r, Asked a) {
  if ((r.lateral <= 0 && a.across > kTrifle) || (r.axial <= 0 && a.pull > kTrifle)) return kNoStrength;
  if (r.lateral <= 0) a.across = 0;
  if (r.axial <= 0) a.pull = 0;
  const double lateral = a.across > 0 ? a.across / r.lateral : 0, axial = a.pull > 0 ? a.pull / r.axial : 0;
  double use = 0;
  if (is_connector(f.kind)) {
    use = lateral + axial;
  } else if (site.route == Site::Route::us) {
    const double all = std::hypot(a.across, a.pull), degrees = std::atan2(a.pull, a.across) * kDegrees;
    if (all <= 0) return 0;
    use = is_bolt(f.kind) || lateral <= 0 || axial <= 0 ? lateral + axial  // the NDS has no rule for bolts: our own
          : f.kind == timber::FixingKind::coach_screw   ? all / nds::lag_combined(r.axial, r.lateral, degrees)
                                                        : all / nds::nail_combined(r.axial, r.lateral, degrees);
  } else {
    const bool smooth = f.kind == timber::FixingKind::staple ||
                        (f.kind == timber::FixingKind::nail && f.make.shank == timber::Shank::smooth);
    use = ec5::axial_and_lateral(axial, lateral, smooth);
    if (!smooth) use = std::sqrt(use);  // by how much both forces may grow
  }
  return std::min(use, kNoStrength);
}

}  // namespace garthwright::strength
