// SPDX-License-Identifier: Apache-2.0
#include "structure/way.h"

#include <array>

namespace garthwright {

static constexpr std::array<std::string_view, 6> kNames{"right", "left", "back", "front", "up", "down"};

Vec3 vector(Way way) {
  Vec3 v;
  v[axis(way)] = is_positive(way) ? 1 : -1;
  return v;
}

std::string_view name(Way way) { return kNames[static_cast<std::size_t>(way)]; }

std::optional<Way> way_named(std::string_view name) {
  for (std::size_t i = 0; i < kNames.size(); ++i)
    if (kNames[i] == name) return static_cast<Way>(i);
  return std::nullopt;
}

std::optional<Way> way_of(Vec3 direction) {
  for (int i = 0; i < 6; ++i)
    if (dot(vector(static_cast<Way>(i)), direction) > 1 - 1e-9) return static_cast<Way>(i);
  return std::nullopt;
}

}  // namespace garthwright
