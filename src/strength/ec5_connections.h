// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>

/// Fasteners by EN 1995-1-1:2004 with A1:2008, section 8. N, mm, N/mm², kg/m³, characteristic values. Densities are
/// rho_k here, except in the slip modulus, which wants rho_mean.
namespace garthwright::strength::ec5 {

// ---- the timber around a fastener -----------------------------------------------------------------------------------

enum class Wood { softwood, hardwood, lvl };

/// 8.3.1.1 (8.15), (8.16): nails up to 8 mm, at any angle to the grain.
double nail_embedment(double d, double rho_k, bool predrilled);
/// 8.5.1.1 (8.32), (8.31), (8.33): bolts, and nails and screws above what the nail rules reach.
double bolt_embedment_along(double d, double rho_k);
double k90(double d, Wood wood);
double bolt_embedment(double d, double rho_k, double degrees, Wood wood = Wood::softwood);

/// (8.14) round nails and (8.30) bolts: 0.3 fu d^2.6; square and grooved nails 0.45.
double yield_moment(double d, double fu, double coefficient = 0.3);

/// 8.7.1(3): a screw whose smooth shank does not reach 4 d into the point-side member acts as 1.1 times its root.
/// Up to 6 mm it follows the nail rules, above the bolt rules.
inline double screw_effective_diameter(double root) { return 1.1 * root; }
inline bool follows_nail_rules(double effective_diameter) { return effective_diameter <= 6; }

// ---- lateral: yield modes -------------------------------------------------------------------------------------------

/// 8.2.2(2): the rope effect adds a quarter of the withdrawal capacity, no more than this part of the Johansen part.
enum class Fastener { round_nail, square_nail, other_nail, screw, bolt, dowel };
double rope_limit(Fastener fastener);

/// A dowel through timbers: member 1 on the head's side (side member), member 2 on the point's side (its penetration)
/// or in the middle.
struct Shear {
  double fh1 = 0, fh2 = 0;
  double t1 = 0, t2 = 0;
  double d = 0;
  double my = 0;
  double fax = 0;         ///< withdrawal capacity; 0 where it is not known
  double rope_limit = 0;  ///< see rope_limit()
};

/// Modes in the order of the standard, without and with the rope effect; modes that do not exist are not in.
template <int N>
struct Modes {
  std::array<double, N> johansen{};
  std::array<double, N> with_rope{};
  int governing = 0;  ///< index of the least with rope

  double capacity() const { return with_rope[governing]; }
  double capacity_without_rope() const;
};

Modes<6> single_shear(const Shear& shear);  ///< (8.6) a–f, per fastener
Modes<4> double_shear(const Shear& shear);  ///< (8.7) g, h, j, k, per fastener and shear plane

/// Steel outside, single shear, timber t1 or penetration.
Modes<2> thin_plate(const Shear& shear);   ///< (8.9) a, b: plate ≤ d/2
Modes<3> thick_plate(const Shear& shear);  ///< (8.10) c, d, e: plate ≥ d, hole clearance < 0.1 d
/// 8.2.3(1): straight between the two.
double plate_capacity(const Shear& shear, double plate);
/// Thick steel outside on both sides (8.13) l, m (t2 of timber in the middle), per plane.
Modes<2> thick_plates_outside(const Shear& shear);

// ---- axial ----------------------------------------------------------------------------------------------------------

/// 8.3.2(6), (8.25), (8.26): smooth nails predrilled or not, penetration ≥ 12 d.
double smooth_nail_withdrawal_strength(double rho_k);
double smooth_nail_head_strength(double rho_k);
/// (8.24) with 8.3.2(7): below 12 d shrinking to nothing at 8 d. Never for permanent loads (8.3.2(1)).
/// The head side by the density of the piece under the head, where it is not that of the other.
double smooth_nail_withdrawal(double d, double head, double penetration, double thickness, double rho_k,
                              double rho_k_head = 0);
/// (8.23 a) with 8.3.2(7): other nails by their declared fax, below 8 d shrinking to nothing at 6 d.
double other_nail_withdrawal(double fax_k, double d, double penetration);

/// 8.7.2 (8.39): 6 ≤ d ≤ 12, 0.6 ≤ root/d ≤ 0.75, lef ≥ 6 d, 30° or more to the grain.
double screw_withdrawal_strength(double d, double lef, double rho_k);
double screw_kd(double d);
double screw_withdrawal(double d, double lef, double rho_k, double degrees);  ///< (8.38), one screw
/// (8.40): by the maker's strength for density rho_a.
double declared_screw_withdrawal(double fax_k, double d, double lef, double degrees, double rho_k, double rho_a = 350);
/// (8.40b): head pulling through.
double head_pull_through(double fhead_k, double head, double rho_k, double rho_a = 350);
double axial_group(double n);  ///< (8.41): n^0.9

/// 8.5.2(2), (3): a washer's pressure on the timber, 3 fc,90,k; no kc,90 on top.
double washer_capacity(double washer, double hole, double fc_90_k);
/// 8.5.2(3): the steel plate's part that acts as a washer.
double plate_as_washer(double plate, double d);
/// EN 1993-1-8 Table 3.4 before γM2; some books leave the 0.9 out.
inline double bolt_tension(double fu, double stress_area, double k2 = 0.9) { return k2 * fu * stress_area; }

/// Both at once, each force over its design capacity: (8.27) smooth nails, (8.28) all others.
double axial_and_lateral(double axial, double lateral, bool smooth_nail);

// ---- groups, splitting, slip ----------------------------------------------------------------------------------------

/// (8.17), Table 8.1: nails in a row along the grain, spaced a1.
double nail_kef(double a1_over_d);
double nails_effective(double n, double a1_over_d);
/// (8.34), 8.5.1.1(4): bolts in a row along the grain, load at `degrees` to it: straight to n at 90°.
double bolts_effective(double n, double a1, double d, double degrees = 0);

/// 8.1.4 (8.4): splitting where a joint pulls across the grain. he: from the loaded edge to the farthest fastener. To
/// be held against the greater shear beside the joint. Softwood.
double splitting_capacity(double b, double h, double he, double w = 1);

/// 7.1 Table 7.1, per plane and fastener, N/mm; rho_mean. Bolts in clearance holes slip the clearance first.
enum class SlipKind { bolt_screw_or_predrilled_nail, nail, staple };
double joint_density(double rho_mean_1, double rho_mean_2);
double slip_modulus(double rho_mean, double d, SlipKind kind);
inline double ultimate_slip_modulus(double kser) { return kser * 2 / 3; }  ///< 2.2.2 (2.1)

// ---- spacing --------------------------------------------------------------------------------------------------------

/// Least distances, mm: along and across the grain, loaded and unloaded end, loaded and unloaded edge. Figure 8.7.
struct Spacing {
  double a1 = 0, a2 = 0, a3t = 0, a3c = 0, a4t = 0, a4c = 0;
};
Spacing nail_spacing(double d, double degrees, bool predrilled, double rho_k = 350);  ///< Table 8.2
Spacing bolt_spacing(double d, double degrees);                                       ///< Table 8.4
/// Table 8.6 (A1): screws pulled along themselves: a1, a2, end and edge distance of the thread's middle.
struct AxialSpacing {
  double a1 = 0, a2 = 0, end = 0, edge = 0;
};
AxialSpacing axial_screw_spacing(double d);

/// 10.4.3: holes and washers of bolts.
struct BoltHole {
  double in_timber = 0, in_steel = 0, washer = 0, washer_thickness = 0;
};
BoltHole bolt_hole(double d);

template <int N>
double Modes<N>::capacity_without_rope() const {
  double least = johansen[0];
  for (double m : johansen) least = m < least ? m : least;
  return least;
}

}  // namespace garthwright::strength::ec5
