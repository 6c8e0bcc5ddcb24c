// SPDX-License-Identifier: Apache-2.0
//
// What wood is crushed by where timbers press on each other: the frame's contacts give way there, as wood does that is
// pressed across its grain, which never breaks but goes on giving. By the static theorem of plasticity forces that hang
// together and are nowhere above what each place bears are on the safe side.
#pragma once

#include <limits>

#include "strength/design_values.h"

namespace garthwright::strength {

/// N/mm²: characteristic (EN 338), or allowable for a normal duration, wet (NDS); infinite where the grade is not
/// known.
struct Crushing {
  double along = std::numeric_limits<double>::infinity(), across = std::numeric_limits<double>::infinity();
  /// At an angle to the grain: EN 1995-1-1 6.2.2 (6.16), NDS 3.10.3.
  double at(double degrees) const;
};
Crushing crushing_of(const timber::Section& section, bool us_route);

/// What that is multiplied by under a load of this duration: kmod / γM; on the American route 1, which has no factor of
/// duration across the grain (NDS 2.3.2).
double crushing_in(const Site& site, Duration duration);

}  // namespace garthwright::strength
