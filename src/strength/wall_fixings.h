// SPDX-License-Identifier: Apache-2.0
//
// What one fixing holds in a wall, by the wall's kind. No standard has these figures: they are cautious ones of our
// own, below what public test notes and assessments of anchors show; the anchor's maker, or pulls on the spot, go
// before them.
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "strength/fixing_strength.h"

namespace garthwright::strength {

struct WallKind {
  std::string_view name;   ///< as a job says it
  double pull_n, shear_n;  ///< characteristic, one fixing of 8 to 10 mm, 80 mm deep (concrete 60)
  double gamma;            ///< γM
  std::string_view what;   ///< what was thought of
};
std::span<const WallKind> wall_kinds();
/// The kind of that name; "unknown" for another.
const WallKind& wall_kind(std::string_view name);

/// A fixing through a timber into the wall: the least of the wall and of the timber, whose hole bears on a dowel held
/// fast (EN 1995-1-1 (8.10), thick plate). US: the wall's characteristic values over 4 (common practice for anchors).
PlaneStrength wall_strength(const Structure& structure, const Site& site, const PlacedFixing& fixing, Vec3 force,
                            Duration duration);
/// Where it is from.
std::string wall_source(const Site& site);

}  // namespace garthwright::strength
