// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <algorithm>
#include <bit>
#include <compare>
#include <cstdint>
#include <string_view>
#include <type_traits>

#include "base/geometry.h"

namespace garthwright {

/// 128 bits that stand for all that was put into a Digest, in order: two that are equal were made from the same.
struct DigestKey {
  std::uint64_t a = 0, b = 0;
  auto operator<=>(const DigestKey&) const = default;
};

/// Numbers, words and texts, in order. Of a text its length is part.
class Digest {
 public:
  template <class Number>
  requires std::is_arithmetic_v<Number> || std::is_enum_v<Number> Digest& operator<<(Number number) {
    if constexpr (std::is_floating_point_v<Number>)
      mix(std::bit_cast<std::uint64_t>(static_cast<double>(number) + 0.0));  // -0 is 0
    else
      mix(static_cast<std::uint64_t>(number));
    return *this;
  }
  Digest& operator<<(std::string_view text) {
    mix(text.size());
    for (std::size_t i = 0; i < text.size(); i += 8) {
      std::uint64_t word = 0;
      for (std::size_t k = i; k < std::min(text.size(), i + 8); ++k)
        word = word << 8 | static_cast<unsigned char>(text[k]);
      mix(word);
    }
    return *this;
  }
  Digest& operator<<(Vec3 v) { return *this << v.x << v.y << v.z; }
  Digest& operator<<(const Frame& frame) { return *this << frame.origin << frame.x << frame.y << frame.z; }

  DigestKey key() const { return {a_, b_}; }

 private:
  static std::uint64_t stirred(std::uint64_t x) {  // the finish of MurmurHash3
    x = (x ^ x >> 33) * 0xff51afd7ed558ccdu;
    x = (x ^ x >> 33) * 0xc4ceb9fe1a85ec53u;
    return x ^ x >> 33;
  }
  void mix(std::uint64_t word) {
    a_ = stirred(a_ * 0x9e3779b97f4a7c15u + word);
    b_ = stirred((b_ ^ word) * 0xd6e8feb86659fd93u + 0x2545f4914f6cdd1du);
  }
  std::uint64_t a_ = 1, b_ = 2;
};

}  // namespace garthwright
