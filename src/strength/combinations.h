// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <span>
#include <string_view>

/// Load combinations: EN 1990:2002 with the recommended values, ASCE 7-16 2.3.1 and 2.4.1.
namespace garthwright::strength::combinations {

// ---- EN 1990 --------------------------------------------------------------------------------------------------------

struct PartialFactors {
  double g_unfavourable = 1.35, g_favourable = 1, q = 1.5;
};
inline constexpr PartialFactors kEqu{1.1, 0.9, 1.5};   ///< Table A1.2(A)
inline constexpr PartialFactors kStr{1.35, 1.0, 1.5};  ///< Table A1.2(B)
inline constexpr PartialFactors kGeoC{1.0, 1.0, 1.3};  ///< Table A1.2(C)

struct Psi {
  double psi0 = 0, psi1 = 0, psi2 = 0;
};
inline constexpr Psi kWindPsi{0.6, 0.2, 0};  ///< Table A1.1
inline constexpr Psi kRoofHPsi{0, 0, 0};
/// Table A1.1 (from memory): above 1000 m, and anywhere in the Nordic countries, snow stays.
constexpr Psi snow_psi(double altitude_m, bool nordic = false) {
  return altitude_m > 1000 || nordic ? Psi{0.7, 0.5, 0.2} : Psi{0.5, 0.2, 0};
}
enum class Reliability { rc1, rc2, rc3 };
/// Table B3 (from memory). People walk through an arbor: rc2 unless the user chooses otherwise.
constexpr double k_fi(Reliability r) { return r == Reliability::rc1 ? 0.9 : r == Reliability::rc2 ? 1.0 : 1.1; }

/// One combination: what each action is multiplied by. `wind` is along the structure or across, `lift` its upward part.
struct Combination {
  std::string_view name;
  std::string_view clause;
  double dead = 0, plant = 0, snow = 0, wind = 0, lift = 0, live = 0, person = 0;
  double soil = 1;  ///< earth pressure, unfavourable: 1.35 or 1.1 by EN 1990 Table A1.2, H of ASCE 7-16

  double sum(double dead_load, double snow_load, double wind_load, double lift_load = 0) const {
    return dead * dead_load + snow * snow_load + wind * wind_load + lift * lift_load;
  }
};

/// (6.10), ultimate, set B, for strength: permanent alone, snow leading, wind leading, uplift, a person; set A, for
/// loss of equilibrium and uplift only (6.4.1(1)P a); then the characteristic combinations for deflections (6.14b).
std::span<const Combination> en1990_ultimate();
std::span<const Combination> en1990_equilibrium();
std::span<const Combination> en1990_serviceability();

// ---- ASCE 7-16 ------------------------------------------------------------------------------------------------------

std::span<const Combination> asce_asd();          ///< 2.4.1
std::span<const Combination> asce_equilibrium();  ///< 2.4.1 (7), which is among those above
std::span<const Combination> asce_lrfd();         ///< 2.3.1

/// By its name, which must exist.
const Combination& named(std::span<const Combination> list, std::string_view name);

// ---- people ---------------------------------------------------------------------------------------------------------

/// EN 1991-1-1 Table 6.12, category A: on the top of a guard, kN/m.
inline constexpr double kLineA = 0.5;
inline constexpr double kGuardPointLb = 200;  ///< ASCE 7-16 4.5.1 (from memory)
/// Our own, after EN 1991-1-1 Table 6.10: 1 kN sideways at 1.2 m on one post, or 1 kN down anywhere on the roof.
inline constexpr double kPersonKn = 1.0, kPersonHeightM = 1.2;

}  // namespace garthwright::strength::combinations
