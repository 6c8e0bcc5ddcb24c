// SPDX-License-Identifier: Apache-2.0
#include "structure/saw.h"

#include <cmath>
#include <numbers>

namespace garthwright {

SawSetting saw_setting(const EndCut& cut) {
  // Along the timber the waste lies ahead of the normal; its slope against the wide side is the mitre. The blade's tilt
  // is measured in the plane that the mitre has already turned (as on a compound saw).
  constexpr double kDegrees = 180.0 / std::numbers::pi;
  const Vec3 n = unit(cut.normal);
  const double mitre = std::atan2(std::abs(n.y), std::abs(n.x));
  const double bevel = std::asin(std::min(1.0, std::abs(n.z)));
  return {mitre * kDegrees, bevel * kDegrees};
}

}  // namespace garthwright
