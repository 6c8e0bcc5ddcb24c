// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "base/length.h"

/// US customary units in SI units: exact, or from exact ones (NIST SP 811, appendix B.8).
namespace garthwright {

inline constexpr double kMmPerFoot = 304.8;
inline constexpr double kNewtonPerPound = 4.4482216152605;  // pound-force
inline constexpr double kMpaPerPsi = kNewtonPerPound / (kMillimetresPerInch * kMillimetresPerInch);
inline constexpr double kPaPerPsf = kNewtonPerPound / (0.3048 * 0.3048);
inline constexpr double kMetrePerSecondPerMph = 0.44704;

}  // namespace garthwright
