// SPDX-License-Identifier: Apache-2.0
//
// A standing timber made longer or shorter after it was placed: its machining stays where it is in the world.
#pragma once

#include "structure/structure.h"

namespace garthwright {

/// `by` below zero shortens. The timber stands upright.
void lengthen_below(Piece& post, const Traced& by);
void lengthen_above(Piece& post, const Traced& by);

}  // namespace garthwright
