// SPDX-License-Identifier: Apache-2.0
#include "base/geometry.h"

#include <numbers>

namespace garthwright {

double sind(double degrees) {
  double turn = std::fmod(degrees, 360.0);
  if (turn < 0) turn += 360.0;
  if (turn == 0 || turn == 180) return 0;
  if (turn == 90) return 1;
  if (turn == 270) return -1;
  return std::sin(turn * std::numbers::pi / 180.0);
}

double cosd(double degrees) { return sind(degrees + 90.0); }

}  // namespace garthwright
