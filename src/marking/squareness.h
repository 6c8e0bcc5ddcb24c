// SPDX-License-Identifier: Apache-2.0
//
// Is it square: both diagonals of every frame that is made flat before it is put up, and how far it may lean before the
// panel in it no longer fits.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "structure/garden.h"

namespace garthwright::marking {

/// A rectangle of timbers as it lies on the ground. Its corners are where the outer faces of its outermost members
/// meet: those that run one way, and those that run across them.
struct FlatFrame {
  std::string structure, name;
  double wide = 0, high = 0;        ///< corner to corner, mm; high is upwards, or to the back where it lies level
  double diagonal = 0;              ///< both of them, when it is square
  std::string corners;              ///< "outer faces of post A1 and rail B1"
  std::optional<double> panel_gap;  ///< how much wider its opening is than the panel in it
  /// How far one corner may stand out of square over the panel's height, and what that makes between the diagonals:
  /// the gap, all of it at one end. None without a panel.
  std::optional<double> racking, diagonals_differ;
};

std::vector<FlatFrame> flat_frames(const Garden& garden);

}  // namespace garthwright::marking
