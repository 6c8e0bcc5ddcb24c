// SPDX-License-Identifier: Apache-2.0
#include "strength/moisture_movement.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace garthwright::strength::moisture {
namespace {

constexpr double kWaterPcf = 62.4;
constexpr double kKgM3PerPcf = 16.01846;

// clang-format off
constexpr std::array kSpecies = {
    Species{"douglas_fir_coast", 4.8, 7.6, 12.4},          Species{"douglas_fir_interior_north", 3.8, 6.9, 0},
    Species{"western_redcedar", 2.4, 5.0, 6.8},            Species{"northern_white_cedar", 2.2, 4.9, 0},
    Species{"yellow_cedar", 2.8, 6.0, 0},                  Species{"eastern_redcedar", 3.1, 4.7, 0},
    Species{"white_fir", 3.3, 7.0, 0},                     Species{"white_oak", 5.6, 10.5, 0},
    Species{"loblolly", 4.8, 7.4, 12.3},                   Species{"longleaf", 5.1, 7.5, 0},
    Species{"shortleaf", 4.6, 7.7, 0},                     Species{"slash", 5.4, 7.6, 0},
    Species{"redwood_old_growth", 2.6, 4.4, 0},            Species{"sitka_spruce", 4.3, 7.5, 0},
};
constexpr std::array kDifferential = {
    Differential{"spruce", 0.19, 0.39},      Differential{"scots_pine", 0.19, 0.36}, Differential{"larch", 0.14, 0.30},
    Differential{"douglas_fir", 0.15, 0.27}, Differential{"oak", 0.16, 0.36},
};
// clang-format on

}  // namespace

HailwoodHorrobin constants_celsius(double t) {
  return {349 + 1.29 * t + 0.0135 * t * t, 0.805 + 0.000736 * t - 0.00000273 * t * t,
          6.27 - 0.00938 * t - 0.000303 * t * t, 1.91 + 0.0407 * t - 0.000293 * t * t};
}

HailwoodHorrobin constants_fahrenheit(double t) {
  return {330 + 0.452 * t + 0.00415 * t * t, 0.791 + 0.000463 * t - 0.000000844 * t * t,
          6.34 + 0.000775 * t - 0.0000935 * t * t, 1.09 + 0.0284 * t - 0.0000904 * t * t};
}

double equilibrium(const HailwoodHorrobin& c, double humidity) {
  const double kh = c.k * humidity, a = c.k1 * kh, b = c.k1 * c.k2 * kh * kh;
  return 1800 / c.w * (kh / (1 - kh) + (a + 2 * b) / (1 + a + b));
}

std::span<const Species> species() { return kSpecies; }

std::optional<Species> find(std::string_view name) {
  for (const Species& s : kSpecies)
    if (s.name == name) return s;
  return std::nullopt;
}

std::optional<Differential> differential(std::string_view name) {
  for (const Differential& d : kDifferential)
    if (d.name == name) return d;
  return std::nullopt;
}

double movement(double size, double shrinkage, double from, double to) {
  const double wet = kFibreSaturation, mi = std::min(from, wet), mf = std::min(to, wet);
  return size * (mf - mi) / (wet * 100 / shrinkage - wet + mi);
}

double size_at(double size, double moisture, double reference) {
  return size * (1 + kPercentPerPercent / 100 * (std::min(moisture, kFibreSaturation) - reference));
}

double lumber_shrinkage_thickness(double m) { return 5.062 - 0.181 * m; }
double lumber_shrinkage_width(double m) { return 6.031 - 0.215 * m; }

std::optional<Coefficients> dimension_coefficients(std::string_view name) {
  if (name == "western_redcedar") return Coefficients{0.00111, 0.00234};
  const std::optional<Species> s = find(name);
  if (!s) return std::nullopt;
  const auto slope = [](double percent) {
    return percent / (kFibreSaturation * 100 - percent * (kFibreSaturation - 10));
  };
  return Coefficients{slope(s->radial), slope(s->tangential)};
}

double density_pcf_from_oven_dry(double g, double m) { return kWaterPcf * g / (1 + 0.009 * g * m) * (1 + m / 100); }
double density_from_oven_dry(double g, double m) { return kKgM3PerPcf * density_pcf_from_oven_dry(g, m); }

double gravity_from_basic(double basic, double m) {
  const double dry = std::max(0.0, (kFibreSaturation - m) / kFibreSaturation);
  return basic / (1 - 0.265 * dry * basic);
}

double density_from_basic(double basic, double m) { return 1000 * gravity_from_basic(basic, m) * (1 + m / 100); }
double density_at_12(double density, double m) { return density * (1 - 0.005 * (m - 12)); }

double property_at(double at_12, double green, double mp, double m) {
  return m >= mp ? green : at_12 * std::pow(at_12 / green, (12 - m) / (mp - 12));
}

double intersection_moisture(std::string_view name) {
  struct Row {
    std::string_view name;
    double mp;
  };
  constexpr std::array kRows = {Row{"douglas_fir", 24},    Row{"loblolly", 21},   Row{"longleaf", 21},
                                Row{"redwood", 21},        Row{"spruce_red", 27}, Row{"spruce_sitka", 27},
                                Row{"western_hemlock", 28}};
  for (const Row& row : kRows)
    if (row.name == name) return row.mp;
  return 25;
}

}  // namespace garthwright::strength::moisture
