// SPDX-License-Identifier: Apache-2.0
//
// What one fixing of a joint can bear, sideways and along itself; and how far from ends, edges and one another the
// fixings must be.
#pragma once

#include <string>

#include "strength/design_values.h"
#include "structure/structure.h"

namespace garthwright::strength {

/// Design values (EN) or adjusted allowable loads (NDS), N. `axial` is 0 where nothing may be counted on (end grain).
struct FixingStrength {
  double lateral = 0, axial = 0;
  std::string source;
};
FixingStrength fixing_strength(const Structure& s, const Site& site, const Joint& joint, const Fixing& fixing,
                               Duration duration);

/// The distance of a joint's fixings that is shortest beside what is wanted, mm; the least wanted by EN 1995-1-1 Table
/// 8.2 or 8.4, or NDS Tables 12.5.1 for bolts and the same EN table for thin ones (the NDS gives no figure).
struct Crowding {
  double actual = 1e9, wanted = 0;
  std::string what;  ///< "end of rail B1", "edge of post A1", "next fixing"
  double use() const { return actual > 1e-6 ? wanted / actual : 99; }
};
Crowding crowding(const Structure& s, const Site& site, const Joint& joint, const std::vector<int>& fixings);

}  // namespace garthwright::strength
