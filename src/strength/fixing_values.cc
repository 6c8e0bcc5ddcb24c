// SPDX-License-Identifier: Apache-2.0
#include "strength/fixing_values.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace garthwright::strength {
namespace {

using timber::Corrosion;
using timber::FixingKind;

/// Where a maker says nothing (our own; rho_a 350). Pull of the steel is `tension` d².
struct Cautious {
  double fax, fhead, fu, tension, root;
};
constexpr Cautious kWoodScrew{8, 8, 500, 200, 0.62};
constexpr Cautious kStructural{10, 10, 600, 250, 0.62};
constexpr double kStructuralWasherHead = 11;
constexpr Cautious kStainless{8, 8, 400, 150, 0.62};
constexpr Cautious kCoachScrew{8, 0, 400, 0, 0.7};  // its washer bears, its steel by area
constexpr Cautious kRingedNail{5, 12, 600, 0, 1};
constexpr double kNailSteel = 600;   // EN 14592
constexpr double kBoltSteel = 400;   // property class 4.6
constexpr double kShankPart = 0.72;  // of a screw's diameter: common practice, no source
constexpr double kThreadPart = 0.6;  // of its length: common practice, no source

Cautious cautious(const Fixing& f) {
  switch (f.kind) {
    case FixingKind::coach_screw:
      return kCoachScrew;
    case FixingKind::screw: {
      if (f.make.corrosion >= Corrosion::stainless_a2) return kStainless;
      Cautious c = f.make.structural ? kStructural : kWoodScrew;
      if (f.make.structural && f.make.head_form == timber::HeadForm::washer) c.fhead = kStructuralWasherHead;
      return c;
    }
    case FixingKind::nail:
    case FixingKind::staple:
      return f.make.shank == timber::Shank::ringed ? kRingedNail : Cautious{0, 0, kNailSteel, 0, 1};
    default:
      return {0, 0, kBoltSteel, 0, 1};
  }
}

double or_else(double said, double otherwise) { return said > 0 ? said : otherwise; }

}  // namespace

double stress_area(double d) {
  // Coarse pitch of ISO 261, near enough straight between M6 and M20.
  const double pitch = d <= 8 ? 1.25 : d <= 10 ? 1.5 : d <= 12 ? 1.75 : d <= 16 ? 2 : 2.5;
  const double mean = d - 0.9382 * pitch;  // ISO 898-1
  return std::numbers::pi / 4 * mean * mean;
}

FixingValues values_of(const Fixing& f) {
  const timber::FixingMake& m = f.make;
  const Cautious c = cautious(f);
  const bool threaded = is_threaded(f.kind);
  FixingValues v;
  v.d = f.diameter;
  v.root = or_else(m.root_mm, threaded ? c.root * f.diameter : f.diameter);
  v.shank = or_else(m.shank_mm, f.kind == FixingKind::screw ? kShankPart * f.diameter : f.diameter);
  v.thread = threaded ? or_else(m.thread_mm, kThreadPart * f.length) : 0;
  v.head = f.across_head;
  v.fu = or_else(m.steel_n_mm2, c.fu);
  v.my = m.yield_nmm;
  v.my_part = f.kind == FixingKind::nail && m.shank == timber::Shank::square ? 0.45 : 0.3;
  v.fhead = or_else(m.head_n_mm2, c.fhead);
  v.rho = m.density_kg_m3;
  // (8.38) holds where thread and root are known and of the right sizes; there it is the standard's own.
  const bool formula = f.kind == FixingKind::coach_screw && m.root_mm > 0 && m.thread_mm > 0 && f.diameter >= 6 &&
                       f.diameter <= 12 && v.root >= 0.6 * f.diameter && v.root <= 0.75 * f.diameter;
  v.fax = or_else(m.withdrawal_n_mm2, formula ? 0 : c.fax);
  v.tension = m.tension_n;
  if (v.tension <= 0 && f.kind == FixingKind::screw) v.tension = c.tension * f.diameter * f.diameter;
  if (v.tension <= 0 && f.kind == FixingKind::coach_screw)
    v.tension = 0.9 * v.fu * std::numbers::pi / 4 * v.root * v.root;
  if (v.tension <= 0 && is_bolt(f.kind)) v.tension = 0.9 * v.fu * stress_area(f.diameter);
  v.declared = m.yield_nmm > 0 || m.withdrawal_n_mm2 > 0 || m.head_n_mm2 > 0 || m.tension_n > 0;
  v.words = v.declared ? "values declared by: " + m.declared_by : "no declared values: cautious ones of our own";
  return v;
}

}  // namespace garthwright::strength
