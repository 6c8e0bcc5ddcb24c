// SPDX-License-Identifier: Apache-2.0
#include "strength/crushing.h"

#include <cmath>

#include "strength/en338.h"

namespace garthwright::strength {

double Crushing::at(double degrees) const {
  return std::isfinite(across) ? ec5::compression_at_angle(degrees, along, across) : across;
}

Crushing crushing_of(const timber::Section& section, bool us_route) {
  if (!us_route) {
    const auto c = strength_class(section.strength_class);
    return c ? Crushing{c->fc_0_k, c->fc_90_k} : Crushing{};
  }
  Site site;
  site.route = Site::Route::us;
  const double w = section.width_mm, t = section.thickness_mm;
  const auto values = design_values(site, section, {w, t, w, t}, {ec5::Duration::long_term, 1.0});
  return values ? Crushing{values->fc, values->fc_across} : Crushing{};
}

double crushing_in(const Site& site, Duration duration) {
  return site.route == Site::Route::us ? 1 : ec5::design(1, kmod(site, duration), ec5::gamma_m(ec5::Material::solid));
}

}  // namespace garthwright::strength
