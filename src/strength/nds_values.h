// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <span>
#include <string_view>

/// Reference design values and adjustment factors of the NDS 2015/2018 and its Supplement. psi, inches. The tables of
/// reference values and factors are from memory of the standard; specific gravities and unit weights were read in AWC's
/// Wood Structural Design Data.
namespace garthwright::strength::nds {

/// Dimension lumber (Table 4A: apply CF; 4B Southern Pine: CF already in) and timbers 5 × 5 and larger (4D, much
/// lower).
enum class Table { dimension_4a, southern_pine_4b, timbers_4d };

struct ReferenceValues {
  std::string_view species;  ///< "Southern Pine", "Douglas Fir-Larch", …
  std::string_view grade;    ///< "No.2"
  Table table = Table::dimension_4a;
  double from_width_in = 0, to_width_in = 99;  ///< nominal widths the row is for
  double fb = 0, ft = 0, fv = 0, fc_perp = 0, fc = 0, e = 0, e_min = 0;
};
std::span<const ReferenceValues> reference_values();
std::optional<ReferenceValues> reference_value(std::string_view species, std::string_view grade, Table table,
                                               double nominal_width_in);

/// On oven-dry weight and volume, as the yield and withdrawal formulas want it (Table 12.3.3A).
std::optional<double> specific_gravity(std::string_view species);
/// lb/ft³ at about 15 % moisture.
std::optional<double> unit_weight_pcf(std::string_view species);

// ---- adjustment factors ---------------------------------------------------------------------------------------------

enum class Property { fb, ft, fv, fc_perp, fc, e };
/// CF of Table 4A for No.2 and better but Stud; nominal width and thickness.
double size_factor(Property property, double nominal_width_in, double nominal_thickness_in = 2);
/// CM above 19 % moisture; 1 where Fb CF ≤ 1150 or Fc CF ≤ 750. `value_times_cf` is only looked at for Fb and Fc.
double wet_service_factor(Property property, double value_times_cf = 1e9);
double incising_factor(Property property);  ///< Table 4.3.8
enum class Load { permanent, occupancy, snow, construction, wind, impact };
double duration_factor(Load load);           ///< CD, Table 2.3.2; never on E or Fc_perp; connections at most 1.6
inline constexpr double kRepetitive = 1.15;  ///< Cr, three or more within 24 in that share the load
double flat_use_factor(double nominal_width_in, double nominal_thickness_in);  ///< Cfu

enum class WetUse { dry, fabricated_wet_used_dry, wet };
double lateral_wet_factor(WetUse use);               ///< CM, Table 11.3.3
inline constexpr double kThreadWithdrawalWet = 0.7;  ///< lag and wood screws
/// Plain nails that change between wet and dry hold a quarter.
double nail_withdrawal_wet_factor(bool changes);
inline constexpr double kToeNailLateral = 0.83, kToeNailWithdrawal = 0.67;                ///< 12.5.4
inline constexpr double kEndGrainLateral = 0.67, kEndGrainNail = 0, kEndGrainLag = 0.75;  ///< 12.5.2, 12.2

/// LRFD: format conversion and resistance factors, Tables 4.3.1, 11.3.1, Appendix N.
struct Lrfd {
  double kf_fb = 2.54, kf_ft = 2.70, kf_fv = 2.88, kf_fc = 2.40, kf_fc_perp = 1.67, kf_e_min = 1.76,
         kf_connection = 3.32;
  double phi_b = 0.85, phi_t = 0.80, phi_v = 0.75, phi_c = 0.90, phi_s = 0.85, phi_z = 0.65;
};
inline constexpr Lrfd kLrfd{};

/// Effective length factors, Appendix G Table G1: by theory, and as recommended. A post that stands alone is 2.1.
enum class EndHold { fixed_fixed, fixed_pinned, fixed_sliding, pinned_pinned, fixed_free, pinned_sliding };
double ke_theory(EndHold hold);
double ke_design(EndHold hold);

}  // namespace garthwright::strength::nds
