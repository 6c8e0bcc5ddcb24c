// SPDX-License-Identifier: Apache-2.0
//
// How single values are written in JSON: rounded, so that the last bits of a sum do not show, and never as "-0.0".
#pragma once

#include <array>
#include <nlohmann/json.hpp>

#include "base/geometry.h"

namespace garthwright::exchange {

using Json = nlohmann::ordered_json;

/// To the nearest 0.001: mm, kg, degrees, litres. Not finite becomes null.
Json rounded(double value);
/// To the nearest 1e-9: parts of a unit vector.
Json direction_part(double value);

Json point(const Vec3& mm);  ///< [x, y, z]
Json flat_point(double x, double y);
Json direction(const Vec3& unit);  ///< [x, y, z]

}  // namespace garthwright::exchange
