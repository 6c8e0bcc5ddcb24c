// SPDX-License-Identifier: Apache-2.0
//
// Where fixings are set on the face that their timbers share: in rows, as far from ends, edges and one another as their
// size wants where the timbers allow it, else where the worst of these distances is least short.
#pragma once

#include <vector>

#include "structure/fixings_by_body.h"
#include "structure/polygon.h"
#include "structure/structure.h"

namespace garthwright {

/// Least distances, mm: along the grain to an end, across it to an edge, to the next along and across. For a force from
/// any side: EN 1995-1-1 Tables 8.2 (predrilled and not), 8.4 and 8.6, loaded ends and edges.
struct Room {
  double end = 0, edge = 0, along = 0, across = 0;
};
Room room_of(const timber::FixingItem& item, bool us = false);  ///< `us`: NDS Tables 12.5.1A–D from a quarter inch

struct Layout {
  std::vector<Vec3> places;
  double met = 1;  ///< of the distance that is worst beside what is wanted; 1 where all are met
};
/// `count` places on the patch for fixings that go `direction` through the chain of bodies. `every` above 0: as many as
/// stand no farther apart. `set`: what is in those bodies already is kept clear of.
Layout lay_out(const Structure& structure, FixingsByBody& set, const std::vector<Body>& chain, const Polygon& patch,
               Vec3 direction, int count, double every, const Room& room);

}  // namespace garthwright
