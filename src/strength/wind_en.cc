// SPDX-License-Identifier: Apache-2.0
#include "strength/wind_en.h"

#include <algorithm>
#include <cmath>

#include "strength/interpolate.h"

namespace garthwright::strength::wind_en {

Roughness roughness(Terrain terrain) {
  constexpr std::array<Roughness, 5> kTable = {{{0.003, 1}, {0.01, 1}, {0.05, 2}, {0.3, 5}, {1.0, 10}}};
  return kTable[static_cast<int>(terrain)];
}

double terrain_factor(double z0) { return 0.19 * std::pow(z0 / 0.05, 0.07); }

double basic_pressure(double v_b, double rho) { return 0.5 * rho * v_b * v_b; }

Exposure exposure(Terrain terrain, double z) {
  const Roughness r = roughness(terrain);
  const double log_height = std::log(std::max(z, r.z_min) / r.z0);
  Exposure e;
  e.c_r = terrain_factor(r.z0) * log_height;
  e.i_v = 1 / log_height;
  e.c_e = (1 + 7 * e.i_v) * e.c_r * e.c_r;
  return e;
}

double peak_pressure(double v_b, Terrain terrain, double z, double rho) {
  return exposure(terrain, z).c_e * basic_pressure(v_b, rho);
}

double probability_factor(double years, double k, double n) {
  const double rare = 1 - k * std::log(-std::log(1 - 1 / years));
  return std::pow(rare / (1 - k * std::log(-std::log(0.98))), n);
}

std::array<double, 4> wall(double l_over_h, double solidity, double return_over_h) {
  constexpr std::array<std::array<double, 3>, 4> kByLength = {
      {{2.3, 2.9, 3.4}, {1.4, 1.8, 2.1}, {1.2, 1.4, 1.7}, {1.2, 1.2, 1.2}}};
  constexpr std::array<double, 4> kReturn = {2.1, 1.8, 1.4, 1.2};
  constexpr double kPorous = 1.2;
  const double corner = std::clamp(return_over_h, 0.0, 1.0), porous = std::clamp((1 - solidity) / 0.2, 0.0, 1.0);
  std::array<double, 4> c{};
  for (int zone = 0; zone < 4; ++zone) {
    const double straight = interpolate<3>({3, 5, 10}, kByLength[zone], l_over_h);
    const double solid = straight + (kReturn[zone] - straight) * corner;
    c[zone] = solid + (kPorous - solid) * porous;
  }
  return c;
}

std::array<double, 3> wall_zone_ends(double h) { return {0.3 * h, 2 * h, 4 * h}; }

double rectangle_coefficient(double d_over_b) {
  return interpolate_log<8>({0.1, 0.2, 0.6, 0.7, 1, 2, 5, 10}, {2.0, 2.0, 2.35, 2.4, 2.1, 1.65, 1.0, 0.9}, d_over_b);
}

double end_effect(double slenderness) {
  return interpolate_log<4>({1, 10, 70, 200}, {0.6, 0.698, 0.9182, 1.0}, slenderness);
}

double bar_slenderness(double length, double width) { return std::min(2 * length / width, 70.0); }

double lattice(double solidity) {
  return interpolate<8>({0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.75, 1.0}, {2.0, 1.9, 1.8, 1.7, 1.7, 1.6, 1.6, 2.0}, solidity);
}

double panel_gross(double solidity, double wall_at_08, double wall_at_1) {
  constexpr double kLattice = 0.65;
  const double at_lattice = lattice_gross(lattice(kLattice), kLattice);
  if (solidity <= kLattice) {
    // The lattice's own curve dips a little where its coefficient drops faster than the solidity grows: it is held.
    double most = 0;
    for (double s : {0.1, 0.2, 0.3, 0.4, 0.5, solidity})
      if (s <= solidity) most = std::max(most, lattice_gross(lattice(s), s));
    return most;
  }
  const double at_wall = std::max(wall_at_08, at_lattice);
  return interpolate<3>({kLattice, kWallSolidity, 1}, {at_lattice, at_wall, std::max(wall_at_1, at_wall)}, solidity);
}

namespace {

constexpr std::array<double, 7> kPitches = {0, 5, 10, 15, 20, 25, 30};

}  // namespace

Canopy monopitch(double degrees) {
  return {interpolate<7>(kPitches, {0.2, 0.4, 0.5, 0.7, 0.8, 1.0, 1.2}, degrees),
          interpolate<7>(kPitches, {-0.5, -0.7, -0.9, -1.1, -1.3, -1.6, -1.8}, degrees),
          interpolate<7>(kPitches, {-1.3, -1.4, -1.4, -1.4, -1.4, -1.4, -1.4}, degrees)};
}

Canopy duopitch(double degrees) {
  constexpr std::array<double, 10> kAt = {-20, -15, -10, -5, 5, 10, 15, 20, 25, 30};
  return {interpolate<10>(kAt, {0.7, 0.5, 0.4, 0.3, 0.3, 0.4, 0.4, 0.6, 0.7, 0.9}, degrees),
          interpolate<10>(kAt, {-0.7, -0.6, -0.6, -0.5, -0.6, -0.7, -0.8, -0.9, -1.0, -1.0}, degrees),
          interpolate<10>(kAt, {-1.3, -1.4, -1.4, -1.3, -1.3, -1.3, -1.3, -1.3, -1.3, -1.3}, degrees)};
}

CanopyZones flat_canopy_zones() { return {{0.5, 1.8, 1.1}, {-0.6, -1.3, -1.4}, {-1.5, -1.8, -2.2}}; }

}  // namespace garthwright::strength::wind_en
