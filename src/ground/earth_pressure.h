// SPDX-License-Identifier: Apache-2.0
#pragma once

/// Soil against the boards of a raised bed. kN, m, kPa, per metre of wall.
namespace garthwright::ground {

double rankine_active(double phi_deg);  ///< tan²(45° - φ/2)
double at_rest(double phi_deg);         ///< Jaky: 1 - sin φ. A filled and trodden bed between tied walls.

/// Pressure at depth z with an even load q on top; the whole push and its moment about the foot of a wall H high.
inline double earth_pressure(double k, double gamma, double z, double q = 0) { return k * (gamma * z + q); }
struct EarthPush {
  double at_foot_kpa = 0, push_kn_m = 0, moment_knm_m = 0, arm_m = 0;
};
EarthPush earth_push(double k, double gamma, double height, double q = 0);

/// The bottom board as a beam between posts under the pressure at the foot over its whole height: on the safe side.
struct BoardLoad {
  double line_kn_m = 0, moment_knm = 0;
};
BoardLoad bottom_board(const EarthPush& push, double board_height, double post_spacing);

/// Bulk weights, kN/m³: proposals of our own, order of magnitude of EN 1991-1-1 Annex A.
inline constexpr double kDryTopsoil = 13, kMoistTopsoil = 16, kSaturatedTopsoil = 18.5, kWetCompost = 9;
inline constexpr double kPeopleBesideBed = 2.5;  ///< kPa on top, our own

}  // namespace garthwright::ground
