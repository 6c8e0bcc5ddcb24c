// SPDX-License-Identifier: Apache-2.0
#include "sheets/overlap.h"

#include <algorithm>

namespace garthwright::sheets {

bool meet(const Rect& a, const Rect& b) {
  return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}

bool passes(Point a, Point b, const Rect& r) {
  double enter = 0, leave = 1;
  const auto cut = [&](double p, double q) {
    if (p == 0) return q >= 0;
    const double t = q / p;
    if (p < 0) {
      enter = std::max(enter, t);
    } else {
      leave = std::min(leave, t);
    }
    return enter <= leave;
  };
  const Point d = b - a;
  return cut(-d.x, a.x - r.left) && cut(d.x, r.right - a.x) && cut(-d.y, a.y - r.top) && cut(d.y, r.bottom - a.y);
}

}  // namespace garthwright::sheets
