// SPDX-License-Identifier: Apache-2.0
//
// What a structure stands in and against: the earth around its posts and the wall behind it, drawn with its picture.
#pragma once

#include <functional>
#include <vector>

#include "sheets/picture.h"

namespace garthwright::sheets {

/// A wall that timbers are fixed to: a point of its face, the way into it (unit, level), and how far the timbers reach
/// along it and up.
struct Wall {
  Vec3 point, into;
  double from = 0, to = 0, top = 0;

  Vec3 along() const { return cross({0, 0, 1}, into); }
};
std::vector<Wall> walls_of(const Structure& structure);

/// A piece of wall cut through, in picture coordinates.
struct WallStrip {
  double left = 0, low = 0, right = 0, high = 0;
};
/// The walls that this view sees edge on, each 50 mm of it; the picture's bounds are widened to hold them.
std::vector<WallStrip> take_walls(const Structure& structure, Picture& picture);
void draw_walls(Items& items, const std::vector<WallStrip>& walls, const OnPage& place);

/// The isometric picture as it stands: what is in the earth dashed, the holes' rims, the wall behind. Its bounds hold
/// the wall.
Picture take_standing(const Structure& structure, const solid::Solids& solids);
void draw_standing(Items& items, const Structure& structure, const solid::Solids& solids, const Picture& picture,
                   const OnPage& place, const std::function<int(PieceId)>& shade_of = {});

}  // namespace garthwright::sheets
