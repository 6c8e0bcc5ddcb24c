// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>

/// Wind by ASCE 7-16 and 7-22. ft, mph, psf (and their metric twins where named). Loads are at strength level: ASD
/// takes 0.6 W. Never mix editions: 7-22 moves Kd from the pressure to the force.
namespace garthwright::strength::wind_asce {

enum class Edition { asce_7_16, asce_7_22 };
enum class ExposureCategory { b, c, d };

struct Profile {
  double alpha = 0, zg_ft = 0, factor = 0;
};
Profile profile(Edition edition, ExposureCategory exposure);  ///< Table 26.11-1; 7-22's alpha and zg from memory
/// Table 26.10-1; nothing is lower than at 15 ft.
double kz(Edition edition, ExposureCategory exposure, double z_ft);
double ke(double ground_elevation_m);    ///< Table 26.9-1
inline constexpr double kKd = 0.85;      ///< Table 26.6-1, walls, signs and lattices; once only
inline constexpr double kGust = 0.85;    ///< 26.11.1, rigid
inline constexpr double kLeastPsf = 16;  ///< 29.7, on Af, strength level
double pressure_psf(double v_mph, double kz, double kzt, double kd, double ke);  ///< (26.10-1)
double pressure_pa(double v_m_s, double kz, double kzt, double kd, double ke);   ///< (26.10-1.si)
double asd_speed(double v_ultimate);                                             ///< IBC 1609.3.1

/// Table 29.4-2 on the SOLID area: open signs and lattices of flat-sided bars, and of round ones (D √qz in ft, psf).
double open_flat(double solidity);
double open_round(double solidity, double d_ft, double q_psf);

/// Figure 29.3-1 Cases A and B, between the rows and columns in straight lines, on the GROSS area; s/h below 0.5 is
/// from memory. Multiply by opening_factor where less than 30 % is open.
double wall(double b_over_s, double s_over_h);
double opening_factor(double solidity);
/// Case C: coefficients by distance from the windward edge, in steps of s; needed where B/s ≥ 2. From memory.
std::array<double, 3> wall_case_c(double b_over_s);
/// One curve on the GROSS area that never falls: the open lattice up to 0.65, the wall with openings from 0.70.
double panel_gross(double solidity, double wall_coefficient);

/// Figure 27.3-4, monoslope free roof at 0°: windward and leeward halves, cases A and B. Only for 0.25 ≤ h/L ≤ 1: a
/// narrow arbor is outside. From memory.
struct FreeRoof {
  double windward_a, leeward_a, windward_b, leeward_b;
};
FreeRoof flat_free_roof(bool obstructed);
inline constexpr double kObstructed = 0.5;  ///< the figure's note: more than half shut counts as obstructed
/// Figure 30.7-1, 0°, clear below, for what gathers more than a² and less than 4 a² of wind: zone 1, and 2 and 3 alike.
/// From memory.
struct FreeRoofZones {
  double down_middle, down_edge, up_middle, up_edge;
};
inline constexpr FreeRoofZones kFreeRoofZones{1.2, 1.8, -1.1, -1.7};
/// The width a of the edge: a tenth of the least width, at least 3 ft.
double edge_width_ft(double least_width_ft);
inline double free_roof_pressure(double q_h, double cn, double gust = kGust) { return q_h * gust * cn; }  ///< (27.3-2)

}  // namespace garthwright::strength::wind_asce
