// SPDX-License-Identifier: Apache-2.0
//
// Which sizes of a structure a person may take hold of in a picture, and what choice follows the hand. Nothing here
// knows a pattern: the traced places of the pieces tell which choice stands between two of their faces.
#pragma once

#include <string>
#include <vector>

#include "structure/structure.h"

namespace garthwright::exchange {

/// A dimension along one of the structure's axes.
struct DragSize {
  std::string part;  ///< the structure, or the part in it, whose choice it follows
  std::string name;  ///< "opening"; "overall width", "overall depth", "overall height"
  int axis = 0;
  Vec3 from, to;               ///< structure's own coordinates; `from` is the lower
  std::string choice;          ///< what dragging changes; empty when the size follows from no single choice
  double per = 0;              ///< mm that the size grows for each mm of the choice
  double least = 0, most = 0;  ///< of the choice
};

/// First each length choice that is the clear distance between two faces (or the ground and a face), in the pattern's
/// order; then the overall sizes: width and depth over everything, height above the ground. Of several pairs of faces
/// that a choice lies between, those the pattern shows come before others, then those in front. Pieces that stand askew
/// count for the overall sizes only, as their uncut boxes.
std::vector<DragSize> drag_sizes(const Structure& structure);

}  // namespace garthwright::exchange
