// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string_view>

#include "base/geometry.h"

namespace garthwright {

/// The six ways along the world's axes, in the trade's words, seen from the front.
enum class Way { right, left, back, front, up, down };

inline int axis(Way way) { return static_cast<int>(way) / 2; }
inline bool is_positive(Way way) { return static_cast<int>(way) % 2 == 0; }
inline Way opposite(Way way) { return static_cast<Way>(static_cast<int>(way) ^ 1); }
Vec3 vector(Way way);
std::string_view name(Way way);
std::optional<Way> way_named(std::string_view name);
/// The way that this unit vector points, if it lies along an axis.
std::optional<Way> way_of(Vec3 direction);

}  // namespace garthwright
