// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "strength/rectangle.h"

/// Members by EN 1995-1-1:2004 with A1:2008 and A2:2014. N, mm, N/mm². Each function names its clause; partial and
/// modification factors are those recommended in the main text, which a National Annex may change.
namespace garthwright::strength::ec5 {

// ---- factors --------------------------------------------------------------------------------------------------------

/// 2.3.1.3: 1 indoors, 2 under a roof, 3 exposed to the weather: a garden structure is in 3.
enum class ServiceClass { one = 1, two = 2, three = 3 };
/// 2.3.1.2. The shortest action in a combination gives kmod; each longer one must be checked alone too.
enum class Duration { permanent, long_term, medium_term, short_term, instantaneous };
enum class Material { solid, glulam, connection, plate_material, punched_plate };

double kmod(ServiceClass service, Duration duration);  ///< Table 3.1, solid timber
double kdef(ServiceClass service);                     ///< Table 3.2, solid timber
double gamma_m(Material material);                     ///< Table 2.3
inline constexpr double kGammaMAccidental = 1.0;       ///< Table 2.3
inline constexpr double kKm = 0.7;                     ///< 6.1.6(2), solid rectangles
inline constexpr double kKsys = 1.1;                   ///< 6.6(2), four or more alike members that share the load
inline constexpr double kKcrSolid = 0.67;              ///< 6.1.7(2), bending shear only

/// 2.4.1 (2.14).
inline double design(double characteristic, double kmod, double gamma_m) { return kmod * characteristic / gamma_m; }

/// 3.2(3) (3.1): depth in bending or larger side in tension, below 150 mm and rho_k ≤ 700. On fm,k and ft,0,k only.
double kh(double size, double rho_k = 350);

// ---- compression and bending ----------------------------------------------------------------------------------------

struct Slenderness {
  double lambda = 0;      ///< lef / i
  double lambda_rel = 0;  ///< (6.21), (6.22)
  double k = 0;           ///< (6.27), (6.28)
  double kc = 1;          ///< (6.25), (6.26); 1 where lambda_rel ≤ 0.3
};
/// 6.3.2. fc_0_k unfactored; betac 0.2 for solid timber, 0.1 glued.
Slenderness slenderness(double lambda, double fc_0_k, double e0_05, double betac = 0.2);
/// About the axis that bends through `size`: lambda = lef √12 / size.
Slenderness slenderness_of(double lef, double size, double fc_0_k, double e0_05, double betac = 0.2);

/// One member under axial force and bending: stresses over design strengths, fm,d already with kh.
struct Bending {
  double stress_y = 0, strength_y = 1;
  double stress_z = 0, strength_z = 1;
};
double bending_utilisation(const Bending& bending);  ///< 6.1.6 (6.11), (6.12), the worse
/// 6.2.3 (6.17), (6.18).
double tension_bending(double stress_t, double ft_0_d, const Bending& bending);
/// 6.2.4 (6.19), (6.20) where no buckling can happen (both lambda_rel ≤ 0.3): the square on compression is theirs only.
double stocky_compression_bending(double stress_c, double fc_0_d, const Bending& bending);
/// 6.3.2 (6.23), (6.24).
struct Combined {
  double eq_6_23 = 0, eq_6_24 = 0;
  double worse() const { return eq_6_23 > eq_6_24 ? eq_6_23 : eq_6_24; }
};
Combined compression_bending(double stress_c, double fc_0_d, double kc_y, double kc_z, const Bending& bending);

// ---- lateral torsional buckling -------------------------------------------------------------------------------------

/// Table 6.1: the effective length of a simple beam under a uniform load (0.9), a point load at midspan (0.8) or a
/// constant moment (1.0); plus 2 h where the load is on the compression edge, less 0.5 h where on the tension edge.
enum class BeamLoad { uniform, midspan_point, constant_moment, cantilever_uniform, cantilever_tip };
enum class LoadedEdge { compression, middle, tension };
double beam_effective_length(double span, double h, BeamLoad load, LoadedEdge edge);
double critical_bending_stress(double b, double h, double lef, double e0_05);  ///< (6.32), solid softwood rectangles
double relative_bending_slenderness(double fm_k, double sigma_crit);           ///< (6.30), fm,k without kh
double kcrit(double lambda_rel_m);                                             ///< (6.34)

// ---- shear, torsion, notches ----------------------------------------------------------------------------------------

double shear_stress(double v, double b, double h, double kcr = kKcrSolid);  ///< 6.1.7: 1.5 V / (kcr b h)
/// 6.1.8 (6.15). A2:2014 as remembered is the lower and the default.
enum class TorsionText { original_2004, amended_2014 };
double kshape(const Rectangle& section, TorsionText text = TorsionText::amended_2014);

/// 6.5.2 (6.62): an end notched on the side of the support. `x`: from the line of the reaction to the notch's corner;
/// `slope`: run of its slope over its depth (0: square). 1 on the far side. Dimensional: mm. kn: 5 solid, 6.5 glulam.
double kv(double h, double h_ef, double x, double slope = 0, double kn = 5);
/// 6.5.2 (6.60). The clause writes b; with kcr is the careful reading of several handbooks, and the default.
double notched_shear_capacity(double b, double h_ef, double kv, double fv_d, double kcr = kKcrSolid);

// ---- bearing --------------------------------------------------------------------------------------------------------

/// 6.1.5(1): contact length plus up to 30 mm at each end, no more than the free length there, the contact or half the
/// gap to the next.
double bearing_length(double contact, double free_before, double free_after, double gap = 1e9);
/// 6.1.5(3), (4): on a continuous or on discrete supports, only where they are 2 h apart; else 1.
enum class BearingOn { other, continuous, discrete };
double kc90(BearingOn on, bool glulam, double contact, double gap, double h);
/// 6.2.2 (6.16): strength at an angle to the grain; across it that of 6.1.5 (6.3), over the length above.
double compression_at_angle(double degrees, double fc_0_d, double fc_90_d, double kc90 = 1);

// ---- deflection -----------------------------------------------------------------------------------------------------

double uniform_sag(double q, double span, double e, double i);           ///< 5 q L⁴ / 384 E I
double uniform_shear_sag(double q, double span, double g, double area);  ///< 1.2 q L² / 8 G A
/// 2.2.3 (2.3)–(2.5).
inline double final_permanent(double w_inst, double kdef) { return w_inst * (1 + kdef); }
inline double final_variable(double w_inst, double psi2, double kdef) { return w_inst * (1 + psi2 * kdef); }
/// Table 7.2: ranges the parties choose from (span over …), half the divisor for a cantilever.
struct SagLimits {
  double winst_min = 300, winst_max = 500, wnetfin_min = 250, wnetfin_max = 350, wfin_min = 150, wfin_max = 300;
};
inline constexpr SagLimits kSagOfBeam{};
inline constexpr SagLimits kSagOfCantilever{150, 250, 125, 175, 75, 150};

}  // namespace garthwright::strength::ec5
