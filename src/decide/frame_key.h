// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "base/digest.h"
#include "structure/structure.h"

namespace garthwright::decide {

/// A digest of all that the forces in a structure come from: its timbers and what was cut from them, joints,
/// fixings and what else could be in their place, panels, leaves, and its holes' depths. Not of how wide the holes are:
/// the ground's springs follow from soil and depth alone (ground::hole_spring), so that two that differ in that have
/// the same forces everywhere, and ask the same of their holes.
using FrameKey = DigestKey;
FrameKey frame_key(const Structure& structure);

}  // namespace garthwright::decide
