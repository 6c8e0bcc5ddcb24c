// SPDX-License-Identifier: Apache-2.0
#include "solid/lattice.h"

#include <algorithm>
#include <cmath>

namespace garthwright::solid {
namespace {

constexpr double kPitch = 150;  // mm, from one lath to the next

/// Laths over a length: how many, and how wide so that one of the two ways covers its part.
struct Row {
  int count;
  double wide, every;
};

Row row(double length, double solidity) {
  const double share = 1 - std::sqrt(1 - solidity);  // what both ways leave open is (1 - share)²
  const int count = std::max(2, static_cast<int>(std::lround(length / kPitch)) + 1);
  const double wide = share * length / count;
  return {count, wide, (length - wide) / (count - 1)};
}

}  // namespace

std::vector<Box> laths_of(const Panel& panel) {
  if (panel.solidity <= 0 || panel.solidity >= kDrawnClosed) return {};
  const Vec3 size = panel.blank().max;
  const Row upright = row(size.x, panel.solidity), level = row(size.y, panel.solidity);
  std::vector<Box> laths;
  for (int i = 0; i < upright.count; ++i)
    laths.push_back({{i * upright.every, 0, size.z / 2}, {i * upright.every + upright.wide, size.y, size.z}});
  for (int i = 0; i < level.count; ++i)
    laths.push_back({{0, i * level.every, 0}, {size.x, i * level.every + level.wide, size.z / 2}});
  return laths;
}

Wireframe lattice(const std::vector<Box>& laths) {
  Wireframe all;
  for (const Box& lath : laths) {
    Wireframe one = wireframe(uncut(lath, "a lath"));  // at the origin
    Frame frame;
    frame.origin = lath.min;
    for (std::vector<Vec3>& edge : one.edges) {
      for (Vec3& point : edge) point = point + lath.min;
      all.edges.push_back(std::move(edge));
    }
    for (const ConvexPart& part : one.parts) all.parts.push_back(placed(part, frame));
  }
  return all;
}

}  // namespace garthwright::solid
