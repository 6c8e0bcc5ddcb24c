// SPDX-License-Identifier: Apache-2.0
//
// The piece list and the shopping list for a spreadsheet: comma-separated values as RFC 4180 has them (CRLF line ends,
// fields with a comma, quote or line break in double quotes, a quote doubled), UTF-8, one line of headings.
#pragma once

#include <string>

#include "plan/plan.h"

namespace garthwright::exchange {

/// Where a spreadsheet takes the comma for the decimal sign, it parts fields by semicolons.
enum class Csv { comma, semicolon };

/// mark, name, structure, quantity, section, width_mm, thickness_mm, length_mm, length, mass_kg, why. `length` is
/// printed in the job's units; the `_mm` columns are millimetres to 0.001 with a decimal point (a comma between
/// semicolons).
std::string pieces_csv(const Plan& plan, Csv csv = Csv::comma);

/// kind (timber, fixing, panel, ground, extra), name, length_mm, quantity, unit, unit_price, amount, currency. Money in
/// major units ("12.95"); the amounts add up to the plan's total. `length_mm` is empty but for timber.
std::string shopping_csv(const Plan& plan, Csv csv = Csv::comma);

}  // namespace garthwright::exchange
