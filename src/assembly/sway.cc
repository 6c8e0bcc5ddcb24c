// SPDX-License-Identifier: Apache-2.0
#include "assembly/sway.h"

#include <cmath>

namespace garthwright::assembly {

double slip_modulus(double density_kg_m3, double screw_mm) { return std::pow(density_kg_m3, 1.5) * screw_mm / 23; }

double sway(const ScrewedPortal& p) {
  const double arm = p.spacing_mm / 2;
  const double corner = p.screws * slip_modulus(p.density_kg_m3, p.screw_mm) * arm * arm;  // N mm per radian
  return p.push_n * p.height_mm * p.height_mm / (2 * corner);
}

}  // namespace garthwright::assembly
