// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <optional>
#include <span>
#include <string_view>

/// Ground by plain names, and what codes presume of it.
namespace garthwright::ground {

/// IBC Table 1806.2 (2012 reprint), psf and psf per foot of depth.
struct Presumptive {
  int material_class = 0;  ///< 1 bedrock … 5 clay and silt
  std::string_view name;
  double vertical_psf = 0;
  double lateral_psf_per_ft = 0;
  double friction = 0;  ///< 0 where cohesion resists sliding
  double cohesion_psf = 0;
};
std::optional<Presumptive> presumptive(int material_class);
inline constexpr double kKpaPerPsf = 0.0478803;  ///< 1 lbf/ft²
inline constexpr double kKpaPerMPerPsfPerFt = 0.157087;
/// IBC 1806.3.4: twice the table for isolated poles that may move half an inch at the ground under a short load. Never
/// with another increase on top.
inline double isolated_pole_lateral(double table) { return 2 * table; }

/// Undrained strength of clay by consistency, kPa (BS 5930, EN ISO 14688-2; from memory).
enum class Consistency { very_soft, soft, firm, stiff, very_stiff };
struct Range {
  double from = 0, to = 0;
};
Range undrained_strength(Consistency consistency);

/// Weight and friction of granular ground: cautious proposals of our own, order of magnitude of BS 8002:1994 Table 2.
struct Granular {
  std::string_view name;  ///< "loose_sand", "medium_sand", "dense_sand", "gravel", "topsoil_or_fill"
  double gamma_kn_m3 = 0;
  double phi_deg = 0;
};
std::optional<Granular> granular(std::string_view name);
inline constexpr double kNoCreditDepthM = 0.3;  ///< topsoil and frost: no lateral resistance, our own

/// What a garden calls it: which class of Table 1806.2 it is in, and whether it may be built on without an engineer.
/// Made ground, peat and very soft or soft clay may not (EP486 3.4.3, Table 1806.2 note b), but where the strength of
/// the clay was measured (IBC 1806.2: data that substantiate the value).
struct PlainSoil {
  std::string_view name;
  int material_class = 0;  ///< 0: none, refuse
  bool cohesive = false;
  double gamma_kn_m3 = 0, phi_deg = 0, cu_kpa = 0;
};
std::span<const PlainSoil> plain_soils();
std::optional<PlainSoil> plain_soil(std::string_view name);
bool is_clay(std::string_view name);
inline constexpr int kClayClass = 5;  ///< of Table 1806.2

/// Chicago Municipal Code 13-132-060(a), an older city table, psf.
struct CityBearing {
  double clay_very_soft = 500, clay_soft = 1500, clay_stiff = 2500, sand_compact_clean = 5000, gravel = 6000,
         filled_ground_or_loam = 500, organic = 0;
};
inline constexpr CityBearing kCityBearing{};

/// Pressure under a round foot, kPa.
double bearing_pressure(double n_kn, double diameter_m);

/// What undrained clay bears at the end under a round or square foot, kPa: (π + 2) cu sc + q with sc = 1.2, pressed
/// straight down; q: what lies beside it at its depth (EN 1997-1 D.3 (D.1)).
double undrained_bearing(double cu_kpa, double beside_kpa);

}  // namespace garthwright::ground
