// SPDX-License-Identifier: Apache-2.0
#include "sheets/shaped_path.h"

#include <algorithm>
#include <cmath>

#include "marking/curve.h"

namespace garthwright::sheets {

Outline points_of(const ShapedEnd& shape, double tolerance) {
  Outline out;
  for (const marking::Spot p : marking::points_along(shape, tolerance)) out.push_back({p.x, p.y});
  return out;
}

Outline waste_of(const ShapedEnd& shape, double length, double width) {
  Outline out = points_of(shape, 0.1);
  const double end = shape.end == End::start ? 0 : length;
  const bool upwards = out.back().y > out.front().y;
  out.push_back({end, upwards ? width : 0});
  out.push_back({end, upwards ? 0 : width});
  return out;
}

std::vector<Outline> clipped(const Outline& points, const Rect& box) {
  std::vector<Outline> runs;
  bool open = false;
  for (std::size_t i = 0; i + 1 < points.size(); ++i) {
    const Point a = points[i], d = points[i + 1] - a;
    double enter = 0, leave = 1;
    const auto cut = [&](double from, double speed, double low, double high) {
      if (speed == 0) {
        if (from < low || from > high) leave = -1;
        return;
      }
      const double t0 = (low - from) / speed, t1 = (high - from) / speed;
      enter = std::max(enter, std::min(t0, t1));
      leave = std::min(leave, std::max(t0, t1));
    };
    cut(a.x, d.x, box.left, box.right);
    cut(a.y, d.y, box.top, box.bottom);
    if (enter > leave) {
      open = false;
      continue;
    }
    if (!open || enter > 0) runs.push_back({a + enter * d});
    runs.back().push_back(a + leave * d);
    open = leave >= 1;
  }
  return runs;
}

}  // namespace garthwright::sheets
