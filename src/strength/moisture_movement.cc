// SPDX-License-Identifier: Apache-2.0
#include "strength/moisture_movement.h"

#include <algorithm>

namespace garthwright::strength::moisture {

double size_at(double size, double moisture, double reference) {
  return size * (1 + kPercentPerPercent / 100 * (std::min(moisture, kFibreSaturation) - reference));
}

}  // namespace garthwright::strength::moisture
