// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <algorithm>

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

/// Our own rule, for no code answers it: slats that cover less than half with gaps of 100 mm or more hold snow on their
/// solidity, never less than half; all others, and evergreen roofs, as if closed.
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
