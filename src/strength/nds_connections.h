// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>

/// Dowel-type fasteners by the NDS 2015/2018 chapter 12. Inches, pounds, psi; reference values, before factors.
namespace garthwright::strength::nds {

/// Table 12.3.3, from the oven-dry specific gravity: along and across the grain (D ≥ 1/4 in), and below 1/4 in at any
/// angle. `nearest_50` gives what the tables print.
double bearing_along(double gravity);
double bearing_across(double gravity, double d);
double bearing_small(double gravity);
double bearing_at(double gravity, double d, double degrees);  ///< 12.3.4, Hankinson between the first two
double nearest_50(double psi);

/// Yield strength of nails: steps of Table 12N's footnote, and the regression behind them (psi).
double nail_yield_step(double d);
double nail_yield_regression(double d);

/// A dowel through a main and a side member. Threaded shanks: `d` is the root, `nominal_d` the outer diameter.
struct Dowel {
  double d = 0, nominal_d = 0;
  double lm = 0, ls = 0;
  double fem = 0, fes = 0;
  double fyb = 0;
  double degrees = 0;  ///< greatest angle of load to grain in any member
};
struct Yield {
  std::array<double, 6> modes{};  ///< Im, Is, II, IIIm, IIIs, IV; those that do not exist are infinite
  int governing = 0;
  double z() const { return modes[governing]; }
};
Yield single_shear(const Dowel& dowel);  ///< Table 12.3.1A
Yield double_shear(const Dowel& dowel);

/// 12.1.6: nails reach their value at 10 D, none below 6 D, in proportion between.
double penetration_factor(double penetration, double d);

/// Withdrawal, lb per inch in side grain: 12.2-1 lag screws (thread without the tip), 12.2-2 wood screws, 12.2-3 nails.
double lag_withdrawal(double gravity, double d);
double wood_screw_withdrawal(double gravity, double d);
double nail_withdrawal(double gravity, double d);
double ring_nail_withdrawal(double gravity, double d);  ///< 12.2-5 of 2018, from memory
/// 12.2-6 of 2018, from memory: a head pulling through a side piece of this thickness; lb.
double head_pull_through(double gravity, double head, double thickness);
/// A washer on the timber, 3.10.2 with the bearing area factor (3.10-2) where it is 3 in or more from the end; lb.
double washer_bearing(double outside, double hole, double fc_perp, bool far_from_end);

/// 12.4-1 lag screws and 12.4-2 nails and wood screws: load at an angle to the wood's surface (0: lateral only).
double lag_combined(double withdrawal, double lateral, double degrees);
double nail_combined(double withdrawal, double lateral, double degrees);

/// 11.3-1: n fasteners in a row. γ: 180,000 D^1.5 wood to wood, 270,000 D^1.5 wood to metal. 1 below 1/4 in.
double group_action(double n, double s, double d, double main_area, double side_area, double main_e, double side_e,
                    double gamma_factor = 180000);

/// Tables 12.5.1A–D, softwood: distances for the full value and the least allowed.
struct BoltGeometry {
  double end_tension_full, end_tension_min, end_compression_full, end_compression_min, end_across_full, end_across_min;
  double edge_along, edge_loaded, edge_unloaded;
  double row_spacing_full, row_spacing_min, between_rows_along;
};
BoltGeometry bolt_geometry(double d, double l_over_d);
double between_rows_across(double l, double d);
/// 12.5.1: the part of its value that a group keeps at a distance between the two; 0 below the least.
double geometry_factor(double actual, double least, double full);

}  // namespace garthwright::strength::nds
