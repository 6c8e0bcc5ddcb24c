// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "structure/structure.h"

namespace garthwright::strength {

/// The force of one fixing in one plane between two of the bodies that it goes through: on `second`, world, N.
struct FixingForce {
  int fixing = 0;  ///< index into Structure::fixings
  Body first, second;
  Vec3 force;
};

}  // namespace garthwright::strength
