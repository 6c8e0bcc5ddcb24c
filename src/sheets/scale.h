// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "base/length.h"

namespace garthwright::sheets {

/// A drawing scale: `reduction` 20 is 1 : 20.
struct Scale {
  double reduction = 1;
  std::string words;  ///< as the title block has it: "1 : 20", "1/2\" = 1' 0\""
};

/// Those found on a scale rule, largest first: metric ones of ISO 5455 with 1 : 25 and 1 : 75, or the architect's
/// scales of so many inches to the foot.
std::vector<Scale> scales(Units units);

/// The largest scale found on a scale rule at which a thing of this size fits the room (all mm).
Scale scale_for(Units units, double width, double height, double room_width, double room_height);

}  // namespace garthwright::sheets
