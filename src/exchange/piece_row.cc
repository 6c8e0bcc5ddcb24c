// SPDX-License-Identifier: Apache-2.0
#include "exchange/piece_row.h"

namespace garthwright::exchange {

Json piece_row_json(const PieceRow& row) {
  return {{"mark", row.mark},
          {"name", row.name},
          {"structure", row.structure},
          {"quantity", row.quantity},
          {"section", row.section},
          {"width_mm", rounded(row.width_mm)},
          {"thickness_mm", rounded(row.thickness_mm)},
          {"length_mm", rounded(row.length_mm)}};
}

}  // namespace garthwright::exchange
