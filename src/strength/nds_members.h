// SPDX-License-Identifier: Apache-2.0
#pragma once

/// Members by the NDS 2015/2018, ASD. Inches, pounds, psi.
namespace garthwright::strength::nds {

/// 3.7.1 (3.7-1), sawn c = 0.8. Fc* holds every factor but CP; Emin' has no CD. le/d at most 50.
struct Column {
  double le_over_d = 0, f_ce = 0, cp = 1, fc_prime = 0;
};
Column column(double fc_star, double e_min_prime, double le, double d, double c = 0.8);

/// 3.3.3: le of a single span under a uniform load from the unbraced length (Table 3.3.3); CL with 1.9 and 0.95.
/// Not needed where d ≤ 2 b.
struct Beam {
  double le = 0, rb = 0, f_be = 0, cl = 1;
};
double beam_effective_length(double lu, double d);
Beam beam(double fb_star, double e_min_prime, double lu, double b, double d);
double stability_factor(double f_be, double fb_star);

/// 3.4.3.2 (3.4-3): shear at an end notched on the tension side, dn left of d; 3.4.2 without a notch.
double notched_shear(double fv_prime, double b, double d, double dn);
inline double shear(double fv_prime, double b, double d) { return 2.0 / 3 * fv_prime * b * d; }

/// 3.10.4 (3.10-2): bearing shorter than 6 in and 3 in or more from the end.
double bearing_factor(double lb, double from_end = 3);
/// 3.10.3 (3.10-1): bearing at an angle to the grain (Hankinson). Fc* without CP.
double bearing_at_angle(double degrees, double fc_star, double fc_perp_prime);

/// 3.9.2 (3.9-3), bending about one axis; FcE about that axis. Infinite where fc reaches FcE.
double compression_bending(double fc, double fc_prime, double fb, double fb_prime, double f_ce);
/// 3.9.2 (3.9-3) about both axes; axis 1 bends the wide face's depth, f_be of it from beam(). Infinite where a stress
/// reaches what buckles.
struct BothAxes {
  double fc = 0, fc_prime = 1, f_ce1 = 1e9, f_ce2 = 1e9, f_be = 1e9;
  double fb1 = 0, fb1_prime = 1, fb2 = 0, fb2_prime = 1;
};
double compression_bending(const BothAxes& s);
/// 3.9.1 (3.9-1).
inline double tension_bending(double ft, double ft_prime, double fb, double fb_star) {
  return ft / ft_prime + fb / fb_star;
}

}  // namespace garthwright::strength::nds
