// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "structure/structure.h"

namespace garthwright {

/// Mitres the corner that two timbers lie in square to each other: both were placed out to the corner and share it;
/// each is cut from the inner to the outer corner, and they are joined there. Timbers of different width meet on a cut
/// that is not at 45°. Fails where they do not lie square to each other, are not of one height at the corner, or do not
/// share its whole.
Result<JointId> mitre(Structure& structure, PieceId a, PieceId b);

}  // namespace garthwright
