// SPDX-License-Identifier: Apache-2.0
#pragma once

/// Wood that shrinks and swells. Moisture content is in percent of the oven-dry mass.
namespace garthwright::strength::moisture {

inline constexpr double kFibreSaturation = 30;  ///< wetter wood swells no more (Wood Handbook, FPL-GTR-282, chapter 4)
inline constexpr double kPercentPerPercent =
    0.25;  ///< across the grain, EN 336:2013 4.3; about 1 % for 4 % moisture (AWC)

/// EN 336:2013 4.3: 0.25 % of the reference size for each percent about 20 %, up to 30 %. For sawn softwood of unknown
/// species, in thickness and width alike.
double size_at(double size_at_reference, double moisture, double reference = 20);

}  // namespace garthwright::strength::moisture
