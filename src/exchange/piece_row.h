// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "exchange/json_values.h"
#include "plan/plan.h"

namespace garthwright::exchange {

/// What every list of pieces begins a line with: mark, name, structure, quantity, section, width, thickness, length.
Json piece_row_json(const PieceRow& row);

}  // namespace garthwright::exchange
