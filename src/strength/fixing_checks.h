// SPDX-License-Identifier: Apache-2.0
//
// The judgement of a structure's fixings from the force on each, in every case: strength of each by itself, rows,
// splitting of the timber, distances. It knows no frame: whoever has forces may ask.
#pragma once

#include <vector>

#include "strength/design_values.h"
#include "strength/fixing_force.h"
#include "structure/check.h"
#include "structure/site.h"

namespace garthwright::strength {

/// One case, with the forces of all fixings.
struct LoadedCase {
  Situation when;
  Duration duration;
  std::vector<FixingForce> forces;
};

/// Rows of kinds joint, row, splitting and spacing: the worst of all joints of two marks.
std::vector<Check> judge_fixings(const Structure& structure, const Site& site, const std::vector<LoadedCase>& cases);
/// Whether each fixing's coating lasts where it is: EN 1995-1-1 Table 4.1 in service class 3, and copper in the timber.
std::vector<Check> judge_corrosion(const Structure& structure, const Site& site);

}  // namespace garthwright::strength
