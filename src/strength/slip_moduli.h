// SPDX-License-Identifier: Apache-2.0
//
// How stiff one fixing is, in each plane in which it goes from one timber into another, N/mm. Across itself: slip
// moduli of EN 1995-1-1 Table 7.1. Along itself the standard has no figure; two published estimates stand 2:1 apart, so
// both are given and a frame is to be run with the stiff one and the soft one where it matters.
#pragma once

#include "structure/structure.h"

namespace garthwright::strength {

struct SlipModuli {
  double k_ser = 0;  ///< across itself, for movement (Table 7.1)
  double k_u = 0;    ///< across itself, for strength: 2/3 of k_ser (2.2.2 (2.1))
  /// Along itself when pulled, soft and stiff: 25 d lef and 780 d^0.2 lef^0.4 (technical assessments of screws, from
  /// memory; lef at most 40 mm in the first, our own caution). Pushing is for the timbers' contact, never for this.
  double along_soft = 0, along_stiff = 0;
};

/// What a plane between two timbers gives, from mean densities (kg/m³). `thread` is the length that holds in the timber
/// on the point's side, mm. `steel_plate`: the other side is a plate (7.1(3)).
SlipModuli slip_moduli(const Fixing& fixing, double rho_mean_1, double rho_mean_2, double thread,
                       bool steel_plate = false);

/// Which of its stiffnesses a fixing has in a joint at all: nothing along the grain, and on the European route nothing
/// across either (EN 1995-1-1 8.3.1.2(4), service class 3), unless its maker declares a strength there.
struct Holds {
  bool across = true, along = true;
};
Holds holds_in_end_grain(const Fixing& fixing, bool us_route);
/// Whether the fixing meets the body along its grain.
bool into_end_grain(const Structure& structure, const Fixing& fixing, Body body);

}  // namespace garthwright::strength
