// SPDX-License-Identifier: Apache-2.0
//
// Screens that stand in a line near the ground are a wall to the wind: strongest at its free ends. EN 1991-1-4 7.4.1
// with Table 7.9; ASCE 7-16 29.3. What lies a quarter of its height or more clear of the ground is a board of signs
// (7.4.3) and no matter of this.
#pragma once

#include <vector>

#include "structure/site.h"
#include "structure/structure.h"

namespace garthwright::strength {

/// A straight run of screens.
struct ScreenRun {
  std::vector<Body> of;
  Vec3 along, facing;       ///< unit, level
  double offset = 0;        ///< mm: where its middle lies, along `facing`
  double from = 0, to = 0;  ///< mm along it
  double low = 0;           ///< mm, of its lowest edge
  double height = 0;        ///< mm, mean of it from place to place: on a slope it steps or rakes
  double solidity = 1;      ///< of its length by its height
  double gross = 1;         ///< its length by its height, over the screens' own area: below 1 where they lap
  double return_from = 0, return_to = 0;  ///< mm: length of what turns the corner at either end

  Vec3 of_line() const { return offset * facing; }  ///< a point under its line
  double length() const { return to - from; }
  /// Dense enough for a wall, and down to the ground.
  bool is_wall(double ground_z) const;
};
std::vector<ScreenRun> screen_runs(const Structure& structure);

/// Net coefficient on the gross area at a place along a run, the wind coming from either end as it may.
double wall_coefficient(const Site& site, const ScreenRun& run, double along_mm);
/// Mean of it between two places.
double wall_coefficient(const Site& site, const ScreenRun& run, double from_mm, double to_mm);

}  // namespace garthwright::strength
