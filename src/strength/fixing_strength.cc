// SPDX-License-Identifier: Apache-2.0
#include "strength/fixing_strength.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "strength/ec5_connections.h"
#include "strength/en338.h"
#include "strength/model.h"
#include "strength/nds_connections.h"
#include "strength/nds_values.h"

namespace garthwright::strength {
namespace {

constexpr double kMmPerInch = 25.4, kNewtonPerPound = 4.44822, kMpaPerPsi = 0.00689476;
constexpr double kBoltSteel = 400, kScrewSteel = 540;  // N/mm²: 4.6 bolts; screws common practice
constexpr double kRootPart = 0.65;                     // of a screw's diameter: common practice
constexpr double kPi = 3.14159265358979;

const Piece& piece_of(const Structure& s, Body b) { return s.pieces[static_cast<std::size_t>(b.index)]; }

/// How much timber a line along `direction` meets in a piece.
double through(const Structure& s, Body b, Vec3 direction) {
  const Piece& p = piece_of(s, b);
  const Vec3 d = p.frame.direction_to_local(direction);
  const double sizes[3] = {p.length.value(), p.width.value(), p.thickness.value()};
  double least = 1e9;
  for (int i = 0; i < 3; ++i)
    if (std::abs(d[i]) > 1e-6) least = std::min(least, sizes[i] / std::abs(d[i]));
  return least;
}

/// A fixing between the two pieces of a joint: which is on its head's side, how deep it is in either.
struct Seat {
  Body head, point;
  double t_head = 0, t_point = 0;
  bool end_grain = false;
};
Seat seat_of(const Structure& s, const Joint& joint, const Fixing& f) {
  Seat r{joint.a, joint.b, 0, 0, false};
  double before = 0;
  for (const Body b : f.through) {
    if (b == joint.a || b == joint.b) {
      r.head = b;
      r.point = b == joint.a ? joint.b : joint.a;
      break;
    }
    if (b.kind == Body::Kind::piece) before += through(s, b, f.direction);
  }
  // From the head to the plane where the two meet: a notch leaves less than the whole timber.
  const double along = dot(f.direction, joint.normal);
  double to_joint = before + through(s, r.head, f.direction);
  if (std::abs(along) > 0.3)
    to_joint = std::min(to_joint, std::max(0.0, dot(joint.point - f.head, joint.normal) / along));
  r.t_head = std::max(0.0, to_joint - before);
  r.t_point = std::min(std::max(0.0, f.length - to_joint), through(s, r.point, f.direction));
  r.end_grain = std::abs(dot(piece_of(s, r.point).frame.x, f.direction)) > 0.9;
  return r;
}

bool is_bolt(const Fixing& f) { return f.kind == timber::FixingKind::coach_bolt; }
bool is_threaded(const Fixing& f) {
  return f.kind == timber::FixingKind::screw || f.kind == timber::FixingKind::coach_screw;
}
double root_of(const Fixing& f) { return is_threaded(f) ? kRootPart * f.diameter : f.diameter; }

double density(const Structure& s, Body b) { return stiffness_of(s[piece_of(s, b).section]).rho_k; }
double across(const Structure& s, Body b) {
  const auto c = strength_class(s[piece_of(s, b).section].strength_class);
  return c ? c->fc_90_k : 2.2;  // C14, the least
}

FixingStrength european(const Structure& s, const Site& site, const Fixing& f, const Seat& seat, Duration duration) {
  const double d = is_threaded(f) ? ec5::screw_effective_diameter(root_of(f)) : f.diameter;
  const auto embedment = [&](double rho) {
    return ec5::follows_nail_rules(d) ? ec5::nail_embedment(d, rho, f.pilot > 0) : ec5::bolt_embedment(d, rho, 90);
  };
  double fax = 0;
  if (is_threaded(f) && !seat.end_grain && seat.t_point >= 6 * f.diameter)
    fax = ec5::screw_withdrawal(f.diameter, seat.t_point, density(s, seat.point), 90);
  if (is_bolt(f)) {
    const ec5::BoltHole hole = ec5::bolt_hole(f.diameter);
    fax = ec5::washer_capacity(hole.washer, hole.in_timber, std::min(across(s, seat.head), across(s, seat.point)));
  }
  const ec5::Shear shear{.fh1 = embedment(density(s, seat.head)),
                         .fh2 = embedment(density(s, seat.point)),
                         .t1 = seat.t_head,
                         .t2 = seat.t_point,
                         .d = d,
                         .my = ec5::yield_moment(d, is_bolt(f) ? kBoltSteel : kScrewSteel),
                         .fax = fax,
                         .rope_limit = is_bolt(f)       ? ec5::rope_limit(ec5::Fastener::bolt)
                                       : is_threaded(f) ? ec5::rope_limit(ec5::Fastener::screw)
                                                        : 0.0};
  const double k = kmod(site, duration) / ec5::gamma_m(ec5::Material::connection);
  const double end_grain = seat.end_grain ? 1.0 / 3 : 1;  // 8.3.1.2(4) for nails; screws alike
  return {k * ec5::single_shear(shear).capacity() * end_grain, k * fax,
          "EN 1995-1-1 8.2.2 (8.6), 8.5.2, 8.7.2 (8.38), kmod SC3, γM 1.3; screw steel 540 N/mm² and root 0.65 d are "
          "common practice"};
}

FixingStrength american(const Structure& s, const Fixing& f, const Seat& seat, Duration duration) {
  // Gravity on oven-dry mass and volume; 1.15 from the 5th percentile at 12 % to it, on the safe side for dense pines.
  const auto gravity = [&](Body b) { return density(s, b) / 1000 * 1.15; };
  nds::Dowel dowel;
  dowel.d = root_of(f) / kMmPerInch;
  dowel.nominal_d = f.diameter / kMmPerInch;
  dowel.lm = seat.t_point / kMmPerInch;
  dowel.ls = seat.t_head / kMmPerInch;
  const auto bearing = [&](Body b) {
    return dowel.nominal_d < 0.25 ? nds::bearing_small(gravity(b)) : nds::bearing_across(gravity(b), dowel.nominal_d);
  };
  dowel.fem = bearing(seat.point);
  dowel.fes = bearing(seat.head);
  dowel.fyb = is_bolt(f) ? 45000 : nds::nail_yield_step(std::min(0.37, dowel.d));
  dowel.degrees = 90;
  FixingStrength r;
  r.lateral = nds::single_shear(dowel).z() * duration.cd * nds::lateral_wet_factor(nds::WetUse::wet) *
              (seat.end_grain ? nds::kEndGrainLateral : 1) * kNewtonPerPound;
  if (is_bolt(f)) {  // a washer presses across the grain; round plate of three diameters
    const double washer = 3 * f.diameter, hole = f.diameter + 1.6;
    r.axial = kPi / 4 * (washer * washer - hole * hole) * 425 * 0.67 * kMpaPerPsi;  // Fc⊥ of spruce-pine-fir, wet
  } else if (is_threaded(f)) {
    const double per_inch =
        f.kind == timber::FixingKind::coach_screw
            ? nds::lag_withdrawal(gravity(seat.point), dowel.nominal_d) * (seat.end_grain ? nds::kEndGrainLag : 1)
            : nds::wood_screw_withdrawal(gravity(seat.point), dowel.nominal_d) * (seat.end_grain ? 0 : 1);
    r.axial = per_inch * dowel.lm * duration.cd * nds::kThreadWithdrawalWet * kNewtonPerPound;
  }
  r.source =
      "NDS 12.3.1, Table 12.3.1A, 12.2-1, 12.2-2, CD, CM 0.7; washers of bolts by 3.10.2, Fc⊥ of the softest, wet";
  return r;
}

}  // namespace

FixingStrength fixing_strength(const Structure& s, const Site& site, const Joint& joint, const Fixing& f,
                               Duration duration) {
  const Seat seat = seat_of(s, joint, f);
  const bool us = site.route == Site::Route::us;
  if (!is_bolt(f) && seat.t_point <= 4 * root_of(f))
    return {0, 0,
            us ? "NDS 12.1.5, 12.1.6: too little of it in the timber"
               : "EN 1995-1-1 8.7.1, 8.7.2(3): too little of it in the timber"};
  return us ? american(s, f, seat, duration) : european(s, site, f, seat, duration);
}

Crowding crowding(const Structure& s, const Site& site, const Joint& joint, const std::vector<int>& fixings) {
  Crowding worst;
  const auto look = [&](double actual, double wanted, const std::string& what) {
    const Crowding c{std::max(0.0, actual), wanted, what};
    if (c.use() > worst.use()) worst = c;
  };
  for (const Body b : {joint.a, joint.b}) {
    const Piece& p = piece_of(s, b);
    const double length = p.length.value(), sizes[2] = {p.width.value(), p.thickness.value()};
    for (std::size_t i = 0; i < fixings.size(); ++i) {
      const Fixing& f = s.fixings[static_cast<std::size_t>(fixings[i])];
      const double d = is_threaded(f) ? ec5::screw_effective_diameter(root_of(f)) : f.diameter;
      const Vec3 dir = p.frame.direction_to_local(f.direction);
      if (std::abs(dir.x) > 0.9) continue;  // into end grain: no figure in the table
      ec5::Spacing least =
          ec5::follows_nail_rules(d) ? ec5::nail_spacing(d, 90, f.pilot > 0, density(s, b)) : ec5::bolt_spacing(d, 90);
      if (site.route == Site::Route::us && f.diameter >= kMmPerInch / 4) {
        const nds::BoltGeometry g = nds::bolt_geometry(f.diameter / kMmPerInch, 6);
        least.a3c = g.end_across_min * kMmPerInch, least.a4c = g.edge_unloaded * kMmPerInch;
        least.a1 = g.row_spacing_min * kMmPerInch, least.a2 = 1.5 * f.diameter;
      }
      // Where the fixing crosses the plane of the joint.
      const double to_plane = dot(joint.point - f.head, joint.normal), along = dot(f.direction, joint.normal);
      const Vec3 crossing = std::abs(along) > 1e-3 ? f.head + (to_plane / along) * f.direction : f.head;
      const Vec3 at = p.frame.to_local(crossing);
      const std::string name = fmt::format("{} {}", p.name, p.mark);
      // A shaped or mitred end is nearer than the blank's; the blank's is looked at.
      look(std::min(at.x, length - at.x), least.a3c, "end of " + name);
      for (int side = 1; side <= 2; ++side)
        if (std::abs(dir[side]) < 0.5)
          look(std::min(at[side], sizes[side - 1] - at[side]), least.a4c, "edge of " + name);
      for (std::size_t j = i + 1; j < fixings.size(); ++j) {
        const Fixing& g = s.fixings[static_cast<std::size_t>(fixings[j])];
        Vec3 apart = p.frame.direction_to_local(g.head - f.head);
        apart = apart - dot(apart, dir) * dir;
        const double grain = std::abs(apart.x), across_grain = std::hypot(apart.y, apart.z);
        // Apart enough along or across the grain is enough; else the nearer of the two ways is what is short.
        const double by_grain = least.a1 > 0 ? grain / least.a1 : 1,
                     by_width = least.a2 > 0 ? across_grain / least.a2 : 1;
        by_grain >= by_width ? look(grain, least.a1, "next fixing in " + name)
                             : look(across_grain, least.a2, "next fixing in " + name);
      }
    }
  }
  return worst;
}

}  // namespace garthwright::strength
