// SPDX-License-Identifier: Apache-2.0
//
// An open panel as it is drawn: upright laths before level ones. Its solid stays its box, which is what it takes up.
#pragma once

#include <optional>
#include <vector>

#include "solid/hidden_lines.h"
#include "structure/structure.h"

namespace garthwright::solid {

/// Panels that are more closed than this are drawn closed.
inline constexpr double kDrawnClosed = 0.9;

/// Laths side by side: the first begins at 0, each `every` after the one before, the last ends with the panel.
struct LathRow {
  int count = 0;
  double wide = 0, every = 0;
};
struct Laths {
  LathRow upright, level;
};

/// None where it is drawn closed. How wide they are and how far apart they stand is the yard's to say; where it does
/// not, they are about 150 mm apart (common practice, no source) and cover as much as the panel's solidity says.
std::optional<Laths> lath_rows(const Panel& panel);

/// The laths, in the panel's coordinates, the upright ones first; empty where it is drawn closed.
std::vector<Box> laths_of(const Panel& panel);

/// Of all of them together.
Wireframe lattice(const std::vector<Box>& laths);

}  // namespace garthwright::solid
