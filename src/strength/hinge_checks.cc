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
constexpr int kScrews = 4, kBolts = 2;   // in the post
constexpr double kScrew = 6;             // mm: their diameter where nothing is known of it
constexpr double kReach = 7;             // diameters of thread in the timber
constexpr double kPlate = 3;             // mm
constexpr double kPlateBearing = 61850;  // psi, ASTM A653 grade 33 sheet: NDS Table 12G
constexpr double kBoltSteel = 45000;     // psi, Fyb of bolts: NDS Table 12A

/// A hinge on its post: by screws of its own diameter, or bolted through where the yard says what washers it has.
struct Hinge {
  Body post;
  Fixing one;  ///< of its screws or bolts
  int count = kScrews;
  bool bolted = false;
  double through = 0;  ///< mm: of the post, the less of both ways

  std::string words() const {
    return fmt::format("{} {} of {:.0f} mm", bolted ? "two" : "four", bolted ? "bolts" : "screws", one.diameter);
  }
};

Hinge hinge_of(const Structure& s, const Site& site, const Swing& swing) {
  Hinge hinge;
  hinge.post = swing.on;
  hinge.one.diameter = kScrew;
  const Piece& post = s[PieceId{swing.on.index}];
  hinge.through = std::min(post.width.value(), post.thickness.value());
  for (const Item& item : s.items)
    for (const timber::FixingItem& sold : site.hinges) {
      if (item.on != swing.on || item.name != sold.name) continue;
      hinge.bolted = sold.make.washer_mm > 0;
      hinge.count = hinge.bolted ? kBolts : kScrews;
      hinge.one.kind = hinge.bolted ? timber::FixingKind::bolt : timber::FixingKind::screw;
      hinge.one.diameter = sold.diameter_mm;
      hinge.one.make = sold.make;
      hinge.one.across_head = sold.make.washer_mm;
      return hinge;
    }
  return hinge;
}

/// What one hinge may bear across its screws or bolts and along them.
struct Holds {
  double across = 0, along = 0;
};

Holds european(const Structure& s, const Site& site, const Hinge& hinge) {
  const double k = kmod(site, {ec5::Duration::short_term, 1.0}) / ec5::gamma_m(ec5::Material::connection);
  const double rho = density_k(s, hinge.post), d = hinge.one.diameter;
  const FixingValues v = values_of(hinge.one);
  ec5::Shear shear;
  if (hinge.bolted) {  // pulled across the grain, its weight along it: taken for across
    shear.d = d, shear.t1 = hinge.through;
    shear.fh1 = ec5::bolt_embedment(d, rho, 90);
    shear.my = ec5::yield_moment(d, v.fu, v.my_part);
    return {
        k * hinge.count * ec5::plate_capacity(shear, kPlate),
        hinge.count * std::min(k * ec5::washer_capacity(v.head, ec5::bolt_hole(d).in_timber, fc_across(s, hinge.post)),
                               v.tension / ec5::gamma_m(ec5::Material::connection))};
  }
  shear.d = ec5::screw_effective_diameter(v.root);
  shear.fh1 = ec5::nail_embedment(shear.d, rho, true);
  shear.t1 = kReach * d, shear.my = ec5::yield_moment(shear.d, v.fu, v.my_part);
  return {k * hinge.count * ec5::plate_capacity(shear, kPlate),
          k * ec5::axial_group(hinge.count) * ec5::declared_screw_withdrawal(v.fax, d, kReach * d, 90, rho, v.rho)};
}

Holds american(const Structure& s, const Site& site, const Hinge& hinge) {
  const double d = hinge.one.diameter / kMillimetresPerInch, g = gravity_of(s, hinge.post);
  const FixingValues v = values_of(hinge.one);
  nds::Dowel dowel;
  dowel.d = v.root / kMillimetresPerInch, dowel.nominal_d = d, dowel.ls = kPlate / kMillimetresPerInch,
  dowel.fes = kPlateBearing;
  const double wet = nds::lateral_wet_factor(nds::WetUse::wet) * kNewtonPerPound;
  if (hinge.bolted) {
    dowel.lm = hinge.through / kMillimetresPerInch, dowel.fem = nds::bearing_at(g, d, 90), dowel.fyb = kBoltSteel;
    dowel.degrees = 90;
    return {
        hinge.count * nds::single_shear(dowel).z() * wet,
        hinge.count *
            nds::washer_bearing(v.head / kMillimetresPerInch, d + 1.0 / 16, fc_across_psi(s, site, hinge.post), true) *
            kNewtonPerPound};
  }
  dowel.lm = kReach * d, dowel.fem = nds::bearing_small(g), dowel.fyb = nds::nail_yield_step(d);
  return {hinge.count * nds::single_shear(dowel).z() * nds::penetration_factor(dowel.lm, d) * wet,
          hinge.count * nds::wood_screw_withdrawal(g, d) * dowel.lm * nds::kThreadWithdrawalWet * kNewtonPerPound};
}

/// The joint at its top hinge; none where it hangs on none.
JointId hung_at(const Structure& s, const Swing& swing) {
  JointId top;
  for (int i = 0; i < static_cast<int>(s.joints.size()); ++i) {
    const Joint& j = s[JointId{i}];
    if (j.kind == JointKind::hinged && (j.a == swing.on || j.b == swing.on) && (!top || j.point.z > s[top].point.z))
      top = JointId{i};
  }
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
    const JointId id = hung_at(s, swing);
    const HingeLoad load = hinge_load(s, swing);
    if (!id || swing.on.kind != Body::Kind::piece || load.weight_n <= 0) continue;
    const double pull = c.dead * load.weight_pulls_n + c.person * load.rider_pulls_n,
                 down = c.dead * load.weight_n + c.person * load.rider_n;
    const Hinge hinge = hinge_of(s, site, swing);
    Holds holds = us ? american(s, site, hinge) : european(s, site, hinge);
    // What its maker declares for the hinge itself, where that is less.
    const timber::FixingMake& make = hinge.one.make;
    const double part = part_of_declared(site, {ec5::Duration::short_term, 1.0});
    const bool declared = make.side_n > 0 && make.pull_n > 0;
    if (declared) holds = {std::min(holds.across, part * make.side_n), std::min(holds.along, part * make.pull_n)};
    double most = -1, across = 0, along = 0;
    for (const double part : {0.0, 0.5, 1.0}) {
      const double open = part * swing.opens_deg * std::numbers::pi / 180;
      const double a = std::hypot(pull * std::cos(open), down), p = pull * std::abs(std::sin(open));
      const double lateral = a / holds.across, axial = p / holds.along;
      const double use = us ? lateral + axial : std::hypot(lateral, axial);
      if (use > most) most = std::min(use, kNoStrength), across = a, along = p;
    }
    const Joint& joint = s[id];
    Check row = new_check(CheckKind::joint, {joint.a, joint.b});
    row.joint = id, row.place = joint.point;
    row.when = {State{State::Kind::person, 0, State::Person::rides, swing.on}, c.name, c.clause};
    row.demand = std::hypot(across, along) / 1000, row.capacity = most > 1e-9 ? row.demand / most : 0, row.unit = "kN";
    row.utilisation = most, row.verdict = verdict_of(most);
    row.source = fmt::format(
        "{}; {}, common practice{}",
        us             ? hinge.bolted ? "NDS 12.3.1, 3.10.2, CM" : "NDS 12.3.1, 12.2.2, CM"
        : hinge.bolted ? "EN 1995-1-1 8.2.3 (8.9), 8.5.2, 8.7.3 (8.28), kmod of service class 3, γM 1.3"
                       : "EN 1995-1-1 8.2.3 (8.9), 8.7.2 (8.40), 8.7.3 (8.28), kmod of service class 3, γM 1.3",
        hinge.words(), declared ? "; the hinge itself declared by: " + make.declared_by : "");
    row.plain = fmt::format(
        "{}: top hinge, with {:.0f} kg riding on the far end: {:.0f} N across its {} and {:.0f} N along them, "
        "{:.0f} % of what {} bear.{}{}",
        swing.name, kRiderKg, across, hinge.bolted ? "bolts" : "screws", along, 100 * most,
        declared ? hinge.words() + " and the hinge itself" : hinge.words(),
        most <= 1      ? ""
        : hinge.bolted ? " Set the hinges farther apart, or take some with thicker bolts."
                       : " Set the hinges farther apart, or take some that are bolted through.",
        declared ? "" : " What the hinge itself bears: ask its maker.");
    checks.push_back(std::move(row));
  }
}

}  // namespace garthwright::strength
