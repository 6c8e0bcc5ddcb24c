// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>

namespace garthwright::cutting {

/// A number scattered evenly over 0 to 1, always the same for the same round and index: variety without chance.
/// The mixing is that of SplitMix64 (Steele, Lea and Flood, OOPSLA 2014).
inline double scattered(std::uint32_t round, std::uint32_t index) {
  std::uint64_t h = (static_cast<std::uint64_t>(round) << 32 | index) + 0x9e3779b97f4a7c15u;
  h = (h ^ h >> 30) * 0xbf58476d1ce4e5b9u;
  h = (h ^ h >> 27) * 0x94d049bb133111ebu;
  h ^= h >> 31;
  return static_cast<double>(h >> 11) / static_cast<double>(std::uint64_t{1} << 53);
}

}  // namespace garthwright::cutting
