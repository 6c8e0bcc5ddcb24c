// SPDX-License-Identifier: Apache-2.0
//
// Hidden-line drawing of convex parts. A point is hidden when the ray from it to the viewer passes through timber; for
// a straight edge and one convex part, the hidden stretch is where a handful of linear inequalities in the place along
// the edge hold (Fourier-Motzkin elimination of the depth), so it is found in closed form, with no sampling.
#pragma once

#include <vector>

#include "solid/machined.h"
#include "solid/solid.h"

namespace garthwright::solid {

/// The lines of a body that may be drawn, in its own coordinates.
struct Wireframe {
  /// Between two facets of a round face (or where it runs into a flat one): seen only when one of them faces the viewer
  /// and the other does not.
  struct Rib {
    Vec3 from, to, normal_1, normal_2;
  };
  std::vector<std::vector<Vec3>> edges;  ///< sharp: always seen
  std::vector<Rib> ribs;
  std::vector<ConvexPart> parts;  ///< what hides
};

Wireframe wireframe(const Machined& machined);

struct Drawn {
  Body body;
  const Wireframe* wires = nullptr;
  Frame frame;
};

/// Lines by body, in the order given. Lines of one body that fall on one another in the picture are drawn once.
std::vector<Line> hidden_lines(const std::vector<Drawn>& bodies, const View& view, bool with_hidden);

}  // namespace garthwright::solid
