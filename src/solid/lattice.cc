// SPDX-License-Identifier: Apache-2.0
#include "solid/lattice.h"

#include <algorithm>
#include <cmath>

namespace garthwright::solid {
namespace {

constexpr double kPitch = 150;  // mm, from one lath to the next

LathRow row(double length, const Panel& panel) {
  const double share = 1 - std::sqrt(1 - panel.solidity);  // what both ways leave open is (1 - share)²
  const double pitch = panel.mesh_mm > 0 ? panel.mesh_mm : panel.lath_mm > 0 ? panel.lath_mm / share : kPitch;
  const int count = std::max(2, static_cast<int>(std::lround((length - panel.lath_mm) / pitch)) + 1);
  const double wide = std::min(panel.lath_mm > 0 ? panel.lath_mm : share * length / count, length / count);
  return {count, wide, (length - wide) / (count - 1)};
}

}  // namespace

std::optional<Laths> lath_rows(const Panel& panel) {
  if (panel.solidity <= 0 || panel.solidity >= kDrawnClosed) return std::nullopt;
  const Vec3 size = panel.blank().max;
  return Laths{row(size.x, panel), row(size.y, panel)};
}

std::vector<Box> laths_of(const Panel& panel) {
  const std::optional<Laths> rows = lath_rows(panel);
  if (!rows) return {};
  const Vec3 size = panel.blank().max;
  const auto& [upright, level] = *rows;
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
