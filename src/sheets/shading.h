// SPDX-License-Identifier: Apache-2.0
//
// A picture of a structure whose timbers are shaded by hatching, denser for more.
#pragma once

#include <functional>

#include "sheets/picture.h"

namespace garthwright::sheets {

/// Steps of shading: 0 is paper, each next one is darker, the last is crossed.
inline constexpr int kShades = 4;

/// Hatches an area of the page.
void shade(Items& items, const Outline& area, int step);

/// Hatches the timbers of the picture, those in front over those behind, by the step that `step_of` gives each; the
/// picture's lines are drawn over them by draw_picture. What lies in front of what is decided by the boxes around the
/// timbers, so a hatched strip can stray where two are let into each other; the lines are exact.
void draw_shading(Items& items, const Structure& structure, const solid::Solids& solids, const solid::View& view,
                  const OnPage& place, const std::function<int(PieceId)>& step_of);

}  // namespace garthwright::sheets
