// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <algorithm>
#include <cmath>

/// Snow and other loads from above. European route kN/m² by EN 1991-1-3:2003, United States route psf by ASCE 7-16
/// (7-22 has other maps and factors: never mix).
namespace garthwright::strength::snow {

/// Table 5.2, sliding not hindered.
inline double mu1(double pitch_deg) { return 0.8 * std::clamp((60 - pitch_deg) / 30, 0.0, 1.0); }
enum class Topography { windswept, normal, sheltered };
/// Table 5.1 (from memory). Beside a house or under trees is sheltered.
inline double exposure(Topography t) { return t == Topography::windswept ? 0.8 : t == Topography::normal ? 1.0 : 1.2; }
inline double on_roof(double mu, double ce, double ct, double sk) { return mu * ce * ct * sk; }  ///< (5.1)

enum class RiskCategory { one, two, three, four };
inline double importance(RiskCategory c) {  ///< ASCE 7-16 Table 1.5-2
  return c == RiskCategory::one ? 0.8 : c == RiskCategory::two ? 1.0 : c == RiskCategory::three ? 1.1 : 1.2;
}
inline constexpr double kOpenAir = 1.2;  ///< ASCE 7-16 Table 7.3-2: Ct of what stands in the open air
inline double flat_roof(double ce, double ct, double is, double pg) { return 0.7 * ce * ct * is * pg; }  ///< 7.3

/// EN 1991-1-3 5.3.6, a roof against a taller house: what slides off the house's roof (half of its snow, from 15° on)
/// and what drifts, most at the wall and down to the roof's own at `length_m` from it. γ 2 kN/m³ and the ranges 0.8 ≤
/// µw ≤ 4, 5 m ≤ ls ≤ 15 m as recommended there (from memory).
struct AgainstHouse {
  double mu_slides = 0, mu_drifts = 0, length_m = 5, own = 0.8;
  double mu(double from_wall_m) const {
    const double peak = std::max(own, mu_slides + mu_drifts);
    return own + (peak - own) * std::clamp(1 - from_wall_m / length_m, 0.0, 1.0);
  }
};
/// `house_pitch_deg` 0: nothing slides. `run_m`: from the house's eaves to its ridge; `wide_m`: of the whole house
/// across the ridge; `below_m`: how far the roof lies below the eaves; `deep_m`: how far it reaches from the wall.
inline AgainstHouse against_house(double house_pitch_deg, double run_m, double wide_m, double below_m, double deep_m,
                                  double sk) {
  AgainstHouse a;
  const double h = std::max(below_m, 0.1);
  a.length_m = std::clamp(2 * h, 5.0, 15.0);
  if (house_pitch_deg > 15) a.mu_slides = mu1(house_pitch_deg) * run_m / a.length_m;  // half of it, as a triangle
  a.mu_drifts = std::clamp(std::min((wide_m + deep_m) / (2 * h), sk > 0 ? 2 * h / sk : 4.0), 0.8, 4.0);
  return a;
}

/// ASCE 7-16, feet and psf (from memory). 7.9: 0.4 pf W on each foot of the eaves, over 15 ft. 7.7.1: a leeward drift,
/// height from the house's length upwind (at least 20 ft), weight (7.7-1), four heights long; not both at once.
inline constexpr double kSlidesOver = 15;
inline double slides(double pf, double run_ft) { return 0.4 * pf * run_ft / kSlidesOver; }
struct Drift {
  double height_ft = 0, peak_psf = 0, length_ft = 0;
  double at(double from_wall_ft) const {
    return length_ft > 0 ? peak_psf * std::clamp(1 - from_wall_ft / length_ft, 0.0, 1.0) : 0;
  }
};
inline Drift drift(double pg, double house_ft, double clear_ft) {
  if (pg <= 0 || clear_ft <= 0) return {};
  const double weight = std::min(0.13 * pg + 14, 30.0);
  const double full = 0.43 * std::cbrt(std::max(house_ft, 20.0)) * std::pow(pg + 10, 0.25) - 1.5;
  const double height = std::clamp(full, 0.0, clear_ft);
  const double length = full <= clear_ft ? 4 * full : std::min(4 * full * full / clear_ft, 8 * clear_ft);
  return {height, height * weight, length};
}

/// Our own rule, for no code answers it: slats that cover less than half with gaps of 100 mm or more hold snow on their
/// solidity, never less than half; all others, and evergreen roofs, as if closed. Bare twigs of what grows over them
/// count as solid.
inline double slat_share(double plan_solidity, double gap_mm, bool evergreen) {
  return !evergreen && plan_solidity < 0.5 && gap_mm >= 100 ? std::max(plan_solidity, 0.5) : 1;
}

/// IRC patio cover appendix, psf; some towns ask 20 (Thousand Oaks 8-7.08, 10 where the dead load is 3 psf or less).
inline constexpr double kPatioLive = 10, kPatioLiveAmended = 20, kPatioLiveAmendedLight = 10;
inline constexpr double kPatioLiveKpa = 0.48, kPatioGreatestHeightFt = 12, kPatioLeastOpenPercent = 65;
/// Roof live load by tributary area, ft² (IBC 1607, flat roofs).
inline double roof_live(double area_ft2) { return area_ft2 <= 200 ? 20 : area_ft2 <= 600 ? 24 - 0.02 * area_ft2 : 12; }
/// EN 1991-1-1 Table 6.10, category H, kN/m² and kN; not with snow or wind (from memory).
inline constexpr double kRoofHArea = 0.4, kRoofHPoint = 1.0;

}  // namespace garthwright::strength::snow
