// SPDX-License-Identifier: Apache-2.0
//
// A picture with its dimensions around it and its name below: one elevation or plan.
#pragma once

#include <string>
#include <vector>

#include "sheets/dimension.h"
#include "sheets/measures.h"
#include "sheets/picture.h"
#include "sheets/surroundings.h"

namespace garthwright::sheets {

/// A figure above the picture that leads to a point of it.
struct Pointer {
  double u = 0, v = 0;  ///< picture coordinates
  std::string words;
};

struct DimensionedView {
  std::string name;  ///< "Front"
  Picture picture;
  bool ground = false;                              ///< has the ground in it, at picture y = 0
  std::vector<Measured> below, right, above, left;  ///< tiers, the nearest first
  std::vector<WallStrip> walls = {};
  std::vector<Pointer> pointers = {};
};

/// Size on the page at a scale, with dimensions and name.
Point size_on_page(const DimensionedView& view, double reduction);

/// Draws it in the middle of the room.
void draw_view(Items& items, const DimensionedView& view, double reduction, const Rect& room);

}  // namespace garthwright::sheets
