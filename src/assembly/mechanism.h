// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <vector>

#include "base/geometry.h"

/// How many ways a pin-jointed frame can move without any bar changing its length: degrees of freedom less the rank of
/// the rigidity matrix (Maxwell 1864; Calladine 1978, "Buckminster Fuller's tensegrity structures and Clerk Maxwell's
/// rules", Int. J. Solids Structures 14:161-172). A quick screen for frames that rack: the joints have no stiffness.

namespace garthwright::assembly {

struct PinFrame {
  int dimensions = 3;  ///< 2 or 3; in the plane z is ignored
  std::vector<Vec3> nodes;
  std::vector<std::array<int, 2>> bars;
  std::vector<int> held;  ///< nodes that do not move
};

/// Only nodes that a bar uses count. With none of them held, movements of the whole as a rigid body do not count.
int mechanism_count(const PinFrame& frame);

}  // namespace garthwright::assembly
