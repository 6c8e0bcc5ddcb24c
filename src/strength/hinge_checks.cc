// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "base/us_customary.h"
#include "strength/checks.h"
#include "strength/combinations.h"
#include "strength/duty_loads.h"
#include "strength/ec5_connections.h"
#include "strength/fixing_strength.h"
#include "strength/fixing_values.h"
#include "strength/nds_connections.h"
#include "strength/nds_values.h"

namespace garthwright::strength {
namespace {

// What a hinge comes with: common practice, no source.
constexpr int kScrews = 4;               // in the post
constexpr double kScrew = 6;             // mm: their diameter
constexpr double kReach = 7;             // diameters of thread in the timber
constexpr double kPlate = 3;             // mm
constexpr double kPlateBearing = 61850;  // psi, ASTM A653 grade 33 sheet: NDS Table 12G

/// As of any wood screw of which nothing is declared.
FixingValues screw_values() {
  Fixing screw;
  screw.diameter = kScrew;
  return values_of(screw);
}

/// What one hinge may bear across its screws and along them.
struct Holds {
  double across = 0, along = 0;
};

Holds european(const Structure& s, const Site& site, Body post) {
  const double k = kmod(site, {ec5::Duration::short_term, 1.0}) / ec5::gamma_m(ec5::Material::connection);
  const double rho = density_k(s, post);
  const FixingValues screw = screw_values();
  ec5::Shear shear;
  shear.d = ec5::screw_effective_diameter(screw.root);
  shear.fh1 = ec5::nail_embedment(shear.d, rho, true);
  shear.t1 = kReach * kScrew, shear.my = ec5::yield_moment(shear.d, screw.fu, screw.my_part);
  return {k * kScrews * ec5::plate_capacity(shear, kPlate),
          k * ec5::axial_group(kScrews) *
              ec5::declared_screw_withdrawal(screw.fax, kScrew, kReach * kScrew, 90, rho, screw.rho)};
}

Holds american(const Structure& s, Body post) {
  const double d = kScrew / kMmPerInch, g = gravity_of(s, post);
  nds::Dowel dowel;
  dowel.d = screw_values().root / kMmPerInch, dowel.nominal_d = d;
  dowel.lm = kReach * d, dowel.ls = kPlate / kMmPerInch;
  dowel.fem = nds::bearing_small(g), dowel.fes = kPlateBearing;
  dowel.fyb = nds::nail_yield_step(d);
  return {kScrews * nds::single_shear(dowel).z() * nds::penetration_factor(dowel.lm, d) *
              nds::lateral_wet_factor(nds::WetUse::wet) * kNewtonPerPound,
          kScrews * nds::wood_screw_withdrawal(g, d) * dowel.lm * nds::kThreadWithdrawalWet * kNewtonPerPound};
}

/// The joint at its top hinge.
const Joint* hung_at(const Structure& s, const Swing& swing) {
  const Joint* top = nullptr;
  for (const Joint& j : s.joints)
    if (j.kind == JointKind::hinged && (j.a == swing.on || j.b == swing.on))
      if (top == nullptr || j.point.z > top->point.z) top = &j;
  return top;
}

}  // namespace

/// One that rides on the far end pulls the top hinge: along the face it is screwed to while the leaf is shut, off it
/// when the leaf stands open. All the weight hangs on that hinge, since no two bear alike.
void check_hinges(const Structure& s, const Site& site, Checks& checks) {
  const bool us = site.route == Site::Route::us;
  const combinations::Combination& c =
      combinations::named(us ? combinations::asce_asd() : combinations::en1990_ultimate(), "person");
  for (const Swing& swing : s.swings) {
    const Joint* joint = hung_at(s, swing);
    const HingeLoad load = hinge_load(s, swing);
    if (joint == nullptr || swing.on.kind != Body::Kind::piece || load.weight_n <= 0) continue;
    const double pull = c.dead * load.weight_pulls_n + c.person * load.rider_pulls_n,
                 down = c.dead * load.weight_n + c.person * load.rider_n;
    const Holds holds = us ? american(s, swing.on) : european(s, site, swing.on);
    double most = -1, across = 0, along = 0;
    for (const double part : {0.0, 0.5, 1.0}) {
      const double open = part * swing.opens_deg * std::numbers::pi / 180;
      const double a = std::hypot(pull * std::cos(open), down), p = pull * std::abs(std::sin(open));
      const double lateral = a / holds.across, axial = p / holds.along;
      const double use = us ? lateral + axial : std::hypot(lateral, axial);
      if (use > most) most = std::min(use, kNoStrength), across = a, along = p;
    }
    Check row = new_check(CheckKind::joint, {joint->a, joint->b});
    row.place = joint->point;
    row.when = {State{State::Kind::person, 0, State::Person::rides, swing.on}, c.name, c.clause};
    row.demand = std::hypot(across, along) / 1000, row.capacity = most > 1e-9 ? row.demand / most : 0, row.unit = "kN";
    row.utilisation = most, row.verdict = verdict_of(most);
    row.source =
        us ? "NDS 12.3.1, 12.2.2, CM; four screws of 6 mm, common practice"
           : "EN 1995-1-1 8.2.3 (8.9), 8.7.2 (8.40), 8.7.3 (8.28), kmod of service class 3, γM 1.3; four screws "
             "of 6 mm, common practice";
    row.plain = fmt::format(
        "{}: top hinge, with {:.0f} kg riding on the far end: {:.0f} N across its screws and {:.0f} N along them, "
        "{:.0f} % of what {} screws of {:.0f} mm bear.{} What the hinge itself bears: ask its maker.",
        swing.name, kRiderKg, across, along, 100 * most, kScrews, kScrew,
        most > 1 ? " Set the hinges farther apart, or bolt them through." : "");
    checks.push_back(std::move(row));
  }
}

}  // namespace garthwright::strength
