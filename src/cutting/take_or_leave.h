// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <algorithm>
#include <cstdint>

namespace garthwright::cutting {

/// One more way to fill, by room: to[c] = better(from[c], from[c - shift] + value), and from[c] below `shift`. `from`
/// and `to` have `width` entries each and do not overlap.
template <class Better>
void take_or_leave(const double* __restrict from, double* __restrict to, std::int64_t width, std::int64_t shift,
                   double value, Better better) {
  std::copy_n(from, std::min(shift, width), to);
  for (std::int64_t c = shift; c < width; ++c) to[c] = better(from[c], from[c - shift] + value);
}

inline constexpr auto kLess = [](double a, double b) { return a < b ? a : b; };
inline constexpr auto kMore = [](double a, double b) { return a > b ? a : b; };

}  // namespace garthwright::cutting
