// SPDX-License-Identifier: Apache-2.0
#include "strength/wind_asce.h"

#include <algorithm>
#include <cmath>

#include "strength/interpolate.h"

namespace garthwright::strength::wind_asce {

Profile profile(Edition edition, ExposureCategory exposure) {
  constexpr std::array<Profile, 3> k2016 = {{{7.0, 1200, 2.01}, {9.5, 900, 2.01}, {11.5, 700, 2.01}}};
  constexpr std::array<Profile, 3> k2022 = {{{7.5, 3280, 2.41}, {9.8, 2460, 2.41}, {11.5, 1935, 2.41}}};
  return (edition == Edition::asce_7_16 ? k2016 : k2022)[static_cast<int>(exposure)];
}

double kz(Edition edition, ExposureCategory exposure, double z_ft) {
  const Profile p = profile(edition, exposure);
  return p.factor * std::pow(std::max(z_ft, 15.0) / p.zg_ft, 2 / p.alpha);
}

double ke(double ground_elevation_m) { return std::exp(-0.000119 * ground_elevation_m); }

double pressure_psf(double v, double kz, double kzt, double kd, double ke) {
  return 0.00256 * kz * kzt * kd * ke * v * v;
}
double pressure_pa(double v, double kz, double kzt, double kd, double ke) { return 0.613 * kz * kzt * kd * ke * v * v; }
double asd_speed(double v_ultimate) { return v_ultimate * std::sqrt(0.6); }

double open_flat(double solidity) { return solidity < 0.1 ? 2.0 : solidity < 0.3 ? 1.8 : 1.6; }

double open_round(double solidity, double d_ft, double q_psf) {
  const bool small = d_ft * std::sqrt(q_psf) <= 2.5;
  return solidity < 0.1 ? (small ? 1.2 : 0.8) : solidity < 0.3 ? (small ? 1.3 : 0.9) : (small ? 1.5 : 1.1);
}

double wall(double b_over_s, double s_over_h) {
  constexpr std::array<double, 12> kColumns = {0.05, 0.1, 0.2, 0.5, 1, 2, 4, 5, 10, 20, 30, 45};
  constexpr std::array<double, 7> kRows = {0.16, 0.2, 0.3, 0.5, 0.7, 0.9, 1};
  constexpr std::array<std::array<double, 12>, 7> kTable = {{
      {1.95, 1.90, 1.85, 1.85, 1.80, 1.80, 1.85, 1.85, 1.85, 1.90, 1.90, 1.95},
      {1.95, 1.90, 1.85, 1.80, 1.80, 1.80, 1.80, 1.80, 1.85, 1.90, 1.90, 1.95},
      {1.95, 1.90, 1.85, 1.80, 1.80, 1.80, 1.80, 1.80, 1.80, 1.85, 1.85, 1.85},
      {1.95, 1.85, 1.80, 1.75, 1.75, 1.70, 1.70, 1.70, 1.70, 1.70, 1.70, 1.75},
      {1.90, 1.85, 1.75, 1.70, 1.65, 1.60, 1.60, 1.55, 1.55, 1.55, 1.55, 1.55},
      {1.85, 1.75, 1.70, 1.60, 1.55, 1.50, 1.45, 1.45, 1.40, 1.40, 1.40, 1.40},
      {1.80, 1.70, 1.65, 1.55, 1.45, 1.40, 1.35, 1.35, 1.30, 1.30, 1.30, 1.30},
  }};
  std::array<double, 7> at_width{};
  for (std::size_t row = 0; row < kRows.size(); ++row) at_width[row] = interpolate(kColumns, kTable[row], b_over_s);
  return interpolate(kRows, at_width, s_over_h);
}

double opening_factor(double solidity) { return 1 - std::pow(std::max(1 - solidity, 0.0), 1.5); }

std::array<double, 3> wall_case_c(double b_over_s) {
  constexpr std::array<double, 11> kAt = {2, 3, 4, 5, 6, 7, 8, 9, 10, 13, 45};
  return {interpolate<11>(kAt, {2.25, 2.60, 2.90, 3.10, 3.30, 3.40, 3.55, 3.65, 3.75, 4.00, 4.30}, b_over_s),
          interpolate<11>(kAt, {1.50, 1.70, 1.90, 2.00, 2.15, 2.25, 2.30, 2.35, 2.45, 2.60, 2.55}, b_over_s),
          interpolate<11>(kAt, {1.50, 1.15, 1.30, 1.45, 1.55, 1.65, 1.70, 1.75, 1.85, 2.00, 1.95}, b_over_s)};
}

double panel_gross(double solidity, double wall_coefficient) {
  constexpr double kOpen = 0.65, kWall = 0.70;
  // Cf drops in steps where solidity passes 0.1 and 0.3; the product is held at what it was just before.
  const auto open = [](double s) { return std::max({open_flat(s) * s, s >= 0.1 ? 0.2 : 0.0, s >= 0.3 ? 0.54 : 0.0}); };
  if (solidity <= kOpen) return open(solidity);
  const double from = open(kOpen), to = std::max(from, wall_coefficient * opening_factor(kWall));
  if (solidity < kWall) return from + (to - from) * (solidity - kOpen) / (kWall - kOpen);
  return std::max(to, wall_coefficient * opening_factor(solidity));
}

double edge_width_ft(double least_width) { return std::max(0.1 * least_width, 3.0); }

FreeRoof flat_free_roof(bool obstructed) {
  return obstructed ? FreeRoof{-0.5, -1.2, -1.1, -0.6} : FreeRoof{1.2, 0.3, -1.1, -0.1};
}

}  // namespace garthwright::strength::wind_asce
