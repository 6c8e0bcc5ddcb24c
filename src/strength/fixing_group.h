// SPDX-License-Identifier: Apache-2.0
//
// What a joint's fixings lose by standing together, and what they do to the timber between them: rows along the grain
// (EN 1995-1-1 8.1.2, (8.17), (8.34); NDS 11.3.6), splitting across it (8.1.4).
#pragma once

#include <vector>

#include "strength/fixing_distances.h"

namespace garthwright::strength {

/// Fixings of one kind and size behind one another along the grain of a timber: within a diameter of one line.
struct Row {
  std::vector<std::size_t> of;  ///< indices into what rows_of was given
  double a1 = 0;                ///< least distance between neighbours
};
std::vector<Row> rows_of(const std::vector<const PlacedFixing*>& fixings, const std::vector<Around>& in);

/// As many of the row as count for the force along it.
double effective(const PlacedFixing& fixing, std::size_t n, double a1);

/// C_g for a row between two timbers, with areas (mm²) and stiffness (N/mm²) of both.
double group_factor(const PlacedFixing& fixing, std::size_t n, double spacing, double area_1, double area_2, double e_1,
                    double e_2);

/// Splitting of the timber by forces across its grain (8.4): `across` the sum on all fixings along Around::side.
struct Splitting {
  double demand = 0, capacity = 0;  ///< N, characteristic
};
Splitting splitting_of(const std::vector<Around>& in, double across);

}  // namespace garthwright::strength
