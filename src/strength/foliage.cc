// SPDX-License-Identifier: Apache-2.0
#include "strength/foliage.h"

#include <algorithm>

namespace garthwright::strength::foliage {

double drag(double gust) { return gust > 0 ? std::clamp(kStill * kTurnsAt / gust, kLeastDrag, kStill) : kStill; }

double on_panel(double bare, double laths, double whole, double closed, double gust) {
  return std::max(bare, std::min(closed, bare + drag(gust) * std::max(0.0, whole - laths)));
}

double solidity_in_wind(double timber, double whole, double gust) {
  return timber + std::max(0.0, whole - timber) * drag(gust) / kStill;
}

}  // namespace garthwright::strength::foliage
