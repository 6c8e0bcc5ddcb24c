// SPDX-License-Identifier: Apache-2.0
#include "ground/ibc_posts.h"

#include <algorithm>
#include <cmath>

namespace garthwright::ground::ibc {

Pass unconstrained_pass(double p, double h, double b, double s1) {
  Pass r;
  r.a = 2.34 * p / (s1 * b);
  r.depth = r.a > 0 ? 0.5 * r.a * (1 + std::sqrt(1 + 4.36 * h / r.a)) : 0;
  return r;
}

Post unconstrained(double p, double h, double b, double q, double greatest_depth) {
  Post r;
  if (p <= 0) return r;
  const double k = 7.02 * p / (q * b);
  // Newton from above: the cubic is convex there and has one positive root. Each power of the bound exceeds its term.
  double d = std::sqrt(2 * k) + std::cbrt(2.18 * k * h);
  for (int i = 0; i < 100; ++i) {
    const double f = d * d * d - k * d - 1.09 * k * h, next = d - f / (3 * d * d - k);
    if (!(next < d)) break;
    d = next;
  }
  r.depth = d;
  r.s1 = q * d / 3;
  if (d > greatest_depth) {
    r.s1 = q * greatest_depth / 3;
    r.depth = unconstrained_pass(p, h, b, r.s1).depth;
  }
  r.a = 2.34 * p / (r.s1 * b);
  return r;
}

double unconstrained_capacity(double d, double h, double b, double q) {
  return d <= 0 ? 0 : q * b * d * d * d / (7.02 * (d + 1.09 * h));
}

}  // namespace garthwright::ground::ibc
