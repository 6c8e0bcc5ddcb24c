// SPDX-License-Identifier: Apache-2.0
//
// Rows of the report, each kind from one function: the worst of all pieces (or joints) of one mark under all cases.
#pragma once

#include <vector>

#include "strength/cases.h"
#include "structure/check.h"

namespace garthwright::strength {

using Checks = std::vector<Check>;

/// Bending with axial force and shear of every carrying piece, net of notches. `used`: of each piece, the worst; below
/// 0 where it carries nothing. Bending: design_values.h; shear: EN 1995-1-1 6.1.7, NDS 3.4.
void check_members(const Solved& solved, Checks& checks, std::vector<double>& used);
/// Notches that stand on another timber: splitting at the notch (EN 6.5.2, NDS 3.4.3.2).
void check_notches(const Solved& solved, Checks& checks);
/// What timbers press on each other with where one lies on another (EN 6.1.5, NDS 3.10).
void check_bearing(const Solved& solved, Checks& checks);
/// Fixings of every joint: strength sideways and along, distances from ends, edges and each other.
void check_joints(const Solved& solved, Checks& checks);
/// The top hinge of every leaf, with somebody who rides on its far end.
void check_hinges(const Structure& structure, const Site& site, Checks& checks);
/// Metal shoes under posts, by what their makers declare.
void check_shoes(const Solved& solved, Checks& checks);
/// Sway of the heads, sag of rafters and beams in time, the multiple of its loads at which the frame buckles, racking
/// with and without braces.
void check_sway(const Solved& solved, Checks& checks);
void check_sag(const Solved& solved, Checks& checks);
void check_buckling(const Solved& solved, Checks& checks);
struct Racking {
  double x = 0, y = 0;  ///< N/mm at the heads, along the opening and from front to back
};
void check_racking(const Solved& solved, const std::vector<BaseSpring>& bases, Checks& checks, Racking& braced,
                   Racking& unbraced);
/// Whether what stands loose tips over or slides in the wind, and what it presses on the ground or the floor with.
/// Nothing is asked of what posts or a wall hold as well.
void check_stands_loose(const Solved& solved, Checks& checks);
/// What joints do as the timber dries from the moisture it is bought with to that of its place (EN 336 4.3).
void check_movement(const Structure& structure, const Site& site, Checks& checks);
/// How long posts last at the ground line, and where water stays.
void check_durability(const Structure& structure, Checks& checks);

}  // namespace garthwright::strength
