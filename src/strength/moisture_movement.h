// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <span>
#include <string_view>

/// Water in wood: equilibrium moisture, shrinkage and swelling, density, strength. Moisture content is in percent of
/// the oven-dry mass, relative humidity a fraction. Source, where not said otherwise: USDA Forest Products Laboratory,
/// Wood Handbook, FPL-GTR-190 (2010) / GTR-282 (2021).
namespace garthwright::strength::moisture {

inline constexpr double kFibreSaturation = 30;

/// Equation (4-5) of Hailwood and Horrobin, Celsius and Fahrenheit constants (from memory); tables differ by up to 0.35
/// % moisture.
struct HailwoodHorrobin {
  double w = 0, k = 0, k1 = 0, k2 = 0;
};
HailwoodHorrobin constants_celsius(double t);
HailwoodHorrobin constants_fahrenheit(double t);
double equilibrium(const HailwoodHorrobin& constants, double humidity);
inline double equilibrium_celsius(double t, double humidity) { return equilibrium(constants_celsius(t), humidity); }
inline double equilibrium_fahrenheit(double t, double humidity) {
  return equilibrium(constants_fahrenheit(t), humidity);
}

/// Shrinkage from green to oven-dry, percent of the green size (Table 4-3); 0 where it is not known. Rows of southern
/// pines, redwood and sitka spruce are from memory.
struct Species {
  std::string_view name;  ///< "douglas_fir_coast", "loblolly", …
  double radial = 0, tangential = 0, volumetric = 0;
};
std::span<const Species> species();
std::optional<Species> find(std::string_view name);

/// Change of a size (13-2): Di (Mf - Mi) / (30·100/S - 30 + Mi), S from Species; exact where the timber starts
/// part-dry.
double movement(double size, double shrinkage_percent, double from_moisture, double to_moisture);
/// EN 336:2013 4.3: 0.25 % of the reference size for each percent about 20 %, up to 30 %. For sawn softwood of unknown
/// species, in thickness and width alike.
double size_at(double size_at_reference, double moisture, double reference = 20);
inline constexpr double kPercentPerPercent = 0.25;            ///< AWC: across the grain; about 1 % for 4 % moisture
inline constexpr double kAlongLeast = 0.1, kAlongMost = 0.2;  ///< percent, green to dry (AWC)
/// Green, FPL-RP-489 (1989): shrinkage of lumber from green, thickness and width, percent; 8 to 19 % moisture.
double lumber_shrinkage_thickness(double moisture);
double lumber_shrinkage_width(double moisture);
/// DIN 68100: percent for each percent of moisture (from memory, tables scatter by a tenth).
struct Differential {
  std::string_view name;
  double radial = 0, tangential = 0;
};
std::optional<Differential> differential(std::string_view name);
inline constexpr double kDesignAcross = 0.24, kDesignAlong = 0.01;  ///< DIN EN 1995-1-1/NA
/// Table 13-5: change in size for each percent of moisture between 6 and 14 %, as a fraction (from memory). Where the
/// table has no row: S / (30·100 - S (30 - 10)), which it follows but for cedars and other species full of extractives,
/// whose wood stops taking water below 30 %: there it moves more for each percent.
struct Coefficients {
  double radial = 0, tangential = 0;
};
std::optional<Coefficients> dimension_coefficients(std::string_view species);

/// Three densities that must not be mixed: NDS G is oven-dry mass and volume, the Handbook's basic one oven-dry mass
/// and GREEN volume, EN's is at 12 %. kg/m³.
double density_from_oven_dry(double gravity, double moisture);  ///< NDS Supplement 3.1.3, as lb/ft³ × 16.02
double density_pcf_from_oven_dry(double gravity, double moisture);
double gravity_from_basic(double basic, double moisture);  ///< (4-9)
double density_from_basic(double basic, double moisture);  ///< (4-11); above fibre saturation only the water grows
double density_at_12(double density, double moisture);     ///< EN 384:2016 5.4.2, small differences only

/// (5-3): a clear-wood property between green and 12 %. Mp where it starts to change (Table 5-13, from memory).
double property_at(double at_12, double green, double mp, double moisture);
double intersection_moisture(std::string_view species);

}  // namespace garthwright::strength::moisture
