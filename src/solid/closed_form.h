// SPDX-License-Identifier: Apache-2.0
//
// Volume and centre of mass without the kernel: a prism's from the area moments of its outline (Green's theorem), what
// other sides take away from the convex parts it cuts, bores as π/4 of the square that holds them.
#pragma once

#include <optional>

#include "solid/machined.h"
#include "solid/solid.h"

namespace garthwright::solid {

/// Exact, or nothing where no short form holds (a curve cut from another side, a bore that runs out of the timber
/// askew, bores that meet): the kernel measures those.
std::optional<Measures> closed_form(const Machined& machined);

/// A bore square to the faces, that lies wholly in timber or wholly out of it everywhere along its way: the length that
/// lies in timber, and the centre of that length. Nothing for any other bore.
struct CleanBore {
  double length = 0;
  Vec3 centre;
};
std::optional<CleanBore> clean(const Machined& machined, const Bore& bore);

}  // namespace garthwright::solid
