// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <cmath>
#include <cstddef>

namespace garthwright::strength {

/// Straight between the points (x ascending), held beyond the first and the last.
template <std::size_t N>
constexpr double interpolate(const std::array<double, N>& x, const std::array<double, N>& y, double at) {
  if (!(at > x[0])) return y[0];
  for (std::size_t i = 1; i < N; ++i)
    if (at <= x[i]) return y[i - 1] + (y[i] - y[i - 1]) * (at - x[i - 1]) / (x[i] - x[i - 1]);
  return y[N - 1];
}

/// The same with the logarithm of x, as a chart with a logarithmic axis is read.
template <std::size_t N>
double interpolate_log(std::array<double, N> x, const std::array<double, N>& y, double at) {
  for (double& v : x) v = std::log(v);
  return interpolate(x, y, std::log(at));
}

}  // namespace garthwright::strength
