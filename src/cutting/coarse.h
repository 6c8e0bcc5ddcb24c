// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "cutting/model.h"

namespace garthwright::cutting {

/// Gives the model smaller numbers that say the same. Lengths to a thousandth of a millimetre make tables of millions
/// of cells, though few sums of pieces lie close to the end of a bar. Items are rounded to a coarser unit, and each bar
/// becomes as long as the longest rounded sum of what truly fits into it; the unit is taken only when nothing that does
/// not truly fit has a rounded sum so short. Every pattern then fits exactly as before, within the demands, and so all
/// that is proved of the one model holds for the other. Bars are left no longer than can be filled.
///
/// False, and the model as it was, when the numbers are small already or no coarser unit tells all patterns apart.
bool coarsen(Model& model);

}  // namespace garthwright::cutting
