// SPDX-License-Identifier: Apache-2.0
//
// An open panel as it is drawn: upright laths before level ones. Its solid stays its box, which is what it takes up.
#pragma once

#include <vector>

#include "solid/hidden_lines.h"
#include "structure/structure.h"

namespace garthwright::solid {

/// Panels that are more closed than this are drawn closed.
inline constexpr double kDrawnClosed = 0.9;

/// The laths, in the panel's coordinates, the upright ones first; empty where it is drawn closed. They cover as much of
/// it as its solidity says; how far they stand apart the yard does not say: about 150 mm (common practice, no source).
std::vector<Box> laths_of(const Panel& panel);

/// Of all of them together.
Wireframe lattice(const std::vector<Box>& laths);

}  // namespace garthwright::solid
