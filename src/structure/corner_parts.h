// SPDX-License-Identifier: Apache-2.0
//
// Where parts bent from sheet sit: in a corner that faces of two bodies make, one leg on each. A hanger goes under what
// it carries.
#pragma once

#include <memory>
#include <vector>

#include "structure/polygon.h"
#include "structure/structure.h"

namespace garthwright {

/// A fold's middle, and the ways its legs lie from there (unit): the first on the face of `first`, the next on the
/// other body's.
struct CornerPlace {
  Body first, next;
  Vec3 fold, leg, next_leg;
};

/// The corners of two bodies that are joined, for asking about several parts. The structure and the joint must stay.
class Corners {
 public:
  /// `largest_mm`: no leg and no width of the parts is larger.
  Corners(const Structure& structure, const Joint& joint, double largest_mm);
  ~Corners();

  /// As corner_places().
  std::vector<CornerPlace> places(const timber::FixingItem& part, int count);

 private:
  struct Found;
  const Found& found();
  const Structure& structure_;
  const Joint& joint_;
  double largest_mm_;
  std::unique_ptr<Found> found_;  ///< made when first asked for
};

/// Up to `count` places for this part between two bodies that are joined, where the faces are broad enough and nothing
/// else is in the way. Those at the sides come first (in the middle of its depth a part is prised least), then below,
/// then above; of these the nearer to the structure's middle.
std::vector<CornerPlace> corner_places(const Structure& structure, const Joint& joint, const timber::FixingItem& part,
                                       int count);

}  // namespace garthwright
