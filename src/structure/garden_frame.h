// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "structure/structure.h"

namespace garthwright {

/// Structure's own coordinates → the garden: turned about z, then moved.
Frame garden_frame(const Structure& structure);

}  // namespace garthwright
