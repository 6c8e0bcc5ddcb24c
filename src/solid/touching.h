// SPDX-License-Identifier: Apache-2.0
//
// Which standing bodies touch and which reach into each other, from their convex parts: boxes first (sorted along the
// longest way of the whole, so that the work grows with the neighbours, not with the square of the bodies), then
// separating axes, then the overlap of faces.
#pragma once

#include <vector>

#include "solid/convex_parts.h"
#include "solid/solid.h"

namespace garthwright::solid {

/// A body where it stands. Bores are not part of it: a contact's area is that of the undrilled faces.
struct Standing {
  Body body;
  std::vector<ConvexPart> parts;
  Box box;
};

struct Meetings {
  std::vector<Contact> contacts;
  std::vector<Clash> clashes;
};

/// Pairs in the order given; `slack` mm apart still touches, deeper than `slack` clashes; contacts of less than
/// `least_area` mm² are left out.
Meetings meetings(const std::vector<Standing>& bodies, double slack = 0.01, double least_area = 1);

}  // namespace garthwright::solid
