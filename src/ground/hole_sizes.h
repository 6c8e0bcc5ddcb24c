// SPDX-License-Identifier: Apache-2.0
//
// Holes as they are dug, whatever loads they bear: width, depth, distance, frost.
#pragma once

#include <vector>

#include "structure/check.h"
#include "structure/site.h"
#include "structure/structure.h"

namespace garthwright::ground {

inline constexpr double kDeepest = 1500;  ///< mm: by hand
/// mm of concrete at a post's corners, our own; the trade's hole is two to three posts wide.
inline constexpr double kConcreteRound = 40;

/// A row about the hole where it is worst.
Check hole_check(CheckKind kind, const Footing& worst);

void check_hole_sizes(const Structure& structure, const Site& site, std::vector<Check>& checks);

}  // namespace garthwright::ground
