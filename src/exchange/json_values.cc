// SPDX-License-Identifier: Apache-2.0
#include "exchange/json_values.h"

#include <cmath>

namespace garthwright::exchange {

static Json to_step(double value, double steps_per_unit) {
  if (!std::isfinite(value)) return nullptr;
  return std::round(value * steps_per_unit) / steps_per_unit + 0.0;  // + 0.0 makes 0 of -0
}

Json rounded(double value) { return to_step(value, 1e3); }
Json direction_part(double value) { return to_step(value, 1e9); }

Json point(const Vec3& mm) { return Json::array({rounded(mm.x), rounded(mm.y), rounded(mm.z)}); }
Json flat_point(double x, double y) { return Json::array({rounded(x), rounded(y)}); }
Json direction(const Vec3& unit) {
  return Json::array({direction_part(unit.x), direction_part(unit.y), direction_part(unit.z)});
}

}  // namespace garthwright::exchange
