// SPDX-License-Identifier: Apache-2.0
//
// Names beside a picture, each with a line to what it names.
#pragma once

#include <string>
#include <vector>

#include "sheets/pen.h"

namespace garthwright::sheets {

struct Leader {
  Point at;  ///< on the page, on what is named
  std::string words;
};

/// Sets the words in a column beside the picture, from top to bottom as what they name, moved apart where they would
/// meet. `at_left`: the column stands left of the picture.
void draw_leaders(Items& items, std::vector<Leader> leaders, const Rect& column, bool at_left, double size = kDrawn);

}  // namespace garthwright::sheets
