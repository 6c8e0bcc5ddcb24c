// SPDX-License-Identifier: Apache-2.0
#pragma once

/// Short rigid posts with a free head in the ground, Broms (1964). kN, m, kPa, kN/m³. Forces are ultimate: divide
/// by 2.5 (EP486 3.4.2), or use the factors of EN 1997.
namespace garthwright::ground::broms {

struct Short {
  double force_kn = 0;    ///< that tips it, at height e
  double f_m = 0;         ///< from where the soil resists to where the shear is zero
  double moment_knm = 0;  ///< greatest in the post
};
/// Clay: nothing in the top 1.5 b, then 9 cu b. A hole not deeper than 1.5 b carries nothing.
Short in_clay(double cu_kpa, double b_m, double depth_m, double e_m);
/// Sand: P = 0.5 γ b L³ Kp / (e + L).
Short in_sand(double gamma_kn_m3, double phi_deg, double b_m, double depth_m, double e_m);

double rankine_passive(double phi_deg);

}  // namespace garthwright::ground::broms
