// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <optional>

/// Wind by EN 1991-1-4:2005. m, m/s, N/m² (Pa), kg/m³. Pressures are characteristic. The second generation of the
/// standard may differ.
namespace garthwright::strength::wind_en {

enum class Terrain { sea, open, farmland, suburb, town };  ///< categories 0, I, II, III, IV of Table 4.1

struct Roughness {
  double z0 = 0, z_min = 0;
};
Roughness roughness(Terrain terrain);                         ///< Table 4.1
double terrain_factor(double z0);                             ///< (4.5) kr
inline constexpr double kAirDensity = 1.25;                   ///< 4.5(1) NOTE 2; the UK annex has 1.226
double basic_pressure(double v_b, double rho = kAirDensity);  ///< (4.10)

/// 4.3–4.5 over flat open ground (c0 = kI = 1); below z_min everything keeps its value at z_min.
struct Exposure {
  double c_r = 0, i_v = 0, c_e = 0;
};
Exposure exposure(Terrain terrain, double z);
double peak_pressure(double v_b, Terrain terrain, double z, double rho = kAirDensity);

/// (4.2): wind speed for a return period in years. A garden structure stays up for years: do not go below 1.
double probability_factor(double years, double k = 0.2, double n = 0.5);

/// Table 7.9: c_p,net of a freestanding wall in zones A–D, on the gross area. Between the rows of l/h (3, 5, 10;
/// beyond: held) and between solidity 0.8 and 1 in a straight line; a return corner of the wall's height or more has
/// its own row, shorter ones are between.
std::array<double, 4> wall(double l_over_h, double solidity = 1, double return_over_h = 0);
/// Figure 7.19: where zones A, B and C end, from the free end.
std::array<double, 3> wall_zone_ends(double h);
inline constexpr double kWallSolidity = 0.8;  ///< 7.4.1(2): below it is a lattice
inline constexpr double kSignboard = 1.8;     ///< 7.4.3 (7.7): clear of the ground by h/4, or no wider than high
inline constexpr double kSharpEdged = 2.0;    ///< 7.7(1): bars with sharp edges, on the projected area

/// Figure 7.23: a rectangular bar b across the wind and d deep, sharp corners, no flow round its ends.
double rectangle_coefficient(double d_over_b);
/// Figure 7.36 (solidity 1) with Table 7.16 for bars below 15 m: λ = min(2 l/b, 70).
double end_effect(double slenderness);
double bar_slenderness(double length, double width);

/// A single plane frame of flat-sided bars, on the SOLID area. IS 875-3:1987 Table 28 (as CP3 Ch V), in the place of
/// Figure 7.33, which is a curve only.
double lattice(double solidity);

/// What a lattice comes to on the GROSS area: force = pressure × this × width × height. psi: end effect, 1 on the safe
/// side.
inline double lattice_gross(double c_f0, double solidity, double psi = 1) { return c_f0 * psi * solidity; }

/// On the GROSS area, lattice and wall as one curve that never falls: the lattice up to 0.65, the wall's value from 0.8
/// on (`wall_at_08` growing to `wall_at_1`), straight between.
double panel_gross(double solidity, double wall_at_08, double wall_at_1);

/// Overall force coefficients of open roofs, 7.3, Tables 7.6 and 7.7: down, and up with nothing below (blockage 0) or
/// blocked (1).
struct Canopy {
  double down = 0, up_open = 0, up_blocked = 0;
  double up(double blockage) const { return up_open + (up_blocked - up_open) * blockage; }
};
Canopy monopitch(double degrees);  ///< Table 7.6, 0° to 30°
Canopy duopitch(double degrees);  ///< Table 7.7, -20° to 30°; only the row of 15° was read, the others are from memory
/// Table 7.6 net local pressures at pitch 0, for fixings of slats: middle A, edges B (along the eaves) and C (gables).
struct CanopyZones {
  std::array<double, 3> down, up_open, up_blocked;
};
CanopyZones flat_canopy_zones();

}  // namespace garthwright::strength::wind_en
