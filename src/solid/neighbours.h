// SPDX-License-Identifier: Apache-2.0
//
// What of one part of the garden stands in the way of another, or of what is there already.
#pragma once

#include <cstddef>
#include <vector>

#include "solid/convex_parts.h"
#include "solid/solid.h"
#include "structure/existing.h"

namespace garthwright::solid {

/// A solid thing where it stands in the garden, and whose it is: bodies of one owner are not held against each other.
struct Block {
  std::size_t owner = 0;
  Body body;  ///< within its owner
  std::vector<ConvexPart> parts;
  Box box;
};

/// The bodies of a structure, bores filled; `garden` puts the structure's coordinates into the garden.
std::vector<Block> blocks_of(const Structure& structure, const Solids& solids, const Frame& garden, std::size_t owner);
/// A tree is a prism of sixteen sides round its trunk.
Block block_of(const Existing& thing, std::size_t owner);

/// Two blocks of different owners that share volume (mm³), or stand `apart_mm` apart: 0 when they touch, and never
/// more than they really are apart.
struct Neighbours {
  std::size_t a = 0, b = 0;  ///< indices into the blocks, a < b
  double shared_mm3 = 0;
  double apart_mm = 0;
};
/// All pairs nearer than `near_mm`, in order.
std::vector<Neighbours> neighbours(const std::vector<Block>& blocks, double near_mm);

}  // namespace garthwright::solid
