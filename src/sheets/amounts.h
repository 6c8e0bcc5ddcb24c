// SPDX-License-Identifier: Apache-2.0
//
// Amounts that are no lengths, as the job's people speak: kilograms, litres and newtons, or pounds, cubic feet, quarts
// and pound-force (NIST SP 811 appendix B.8: 1 lb = 0.453 592 37 kg, 1 cu ft = 28.316 846 592 l, 1 qt = 0.946 352 946
// l, 1 lbf = 4.448 221 615 N, 1 psi = 0.006 894 757 N/mm²; from memory).
#pragma once

#include <string>

#include "sheets/brief.h"

namespace garthwright::sheets {

/// "171 kg", "377 lb"; with `decimals` behind the point.
std::string mass_words(Units units, double kg, int decimals = 0);
/// The bare figure and the unit, for tables that name it in their head.
double mass_in(Units units, double kg);
std::string_view mass_unit(Units units);

/// "160.3 l"; "5.7 cu ft", or "0.1 qt" of what comes in tins.
std::string volume_words(Units units, double litres);

/// "20 kg bag", "50 lb bag"; "1 l tin", "1 qt tin".
std::string bag_words(Units units, double kg);
std::string tin_words(Units units, double litres);

/// "0.46 of 1.20 kN", "9.4 of 7.5 N/mm²"; "103 of 270 lbf". Nothing where a check has no figures.
std::string demand_words(const Lengths& lengths, double demand, double capacity, const std::string& unit);

}  // namespace garthwright::sheets
