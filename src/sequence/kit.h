// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "assembly/access.h"
#include "assembly/assembly.h"
#include "assembly/blocking.h"
#include "sequence/tools.h"
#include "solid/solid.h"
#include "structure/structure.h"

/// A structure as the kernel of assembly sees it: bodies become pieces of convex parts, each fixing one fastener for
/// every tool that could drive it (for every set of tools, where it takes one at head and nut or on each leg), ground
/// and wall the site.

namespace garthwright::sequence {

/// Joints are drawn without play: less than this is no clash on the way in, mm.
inline constexpr double kTightFit = 0.1;

using assembly::PieceSet;

/// Everything about the bodies that planning asks for again and again. Bodies are numbered pieces first, then panels.
struct Kit {
  const Structure* structure = nullptr;
  std::vector<Body> bodies;
  std::vector<double> kg;
  std::vector<Box> box;
  std::vector<int> footing;  ///< of the post in it, else -1
  std::vector<char> on_wall;

  assembly::Assembly assembly;
  std::vector<std::vector<int>> fasteners_of;  ///< for each fixing, the handiest tool first
  std::vector<const Tool*> tool_of;            ///< for each fastener
  std::vector<PieceSet> joined;                ///< for each fixing
  std::vector<std::vector<int>> chain;         ///< bodies of each fixing from head to point

  int count() const { return static_cast<int>(bodies.size()); }
  int index(Body body) const;
  double length(int body) const;  ///< of its longest side, mm
};

Kit make_kit(const Structure& structure, const solid::Solids& solids, bool no_power);

/// Where a bolt comes out: the far face of its last body.
Vec3 nut_place(const Fixing& fixing, const std::vector<ConvexPart>& last);

/// What stands in the way where: worked out once for a kit.
struct Tables {
  explicit Tables(const Kit& kit);
  assembly::Blocking blocking;
  assembly::Access access;
  std::vector<char> site_in_way;  ///< of each fastener

  /// Whether the fastener's tool has room among `present`.
  bool has_room(int fastener, const PieceSet& present, bool on_site) const {
    return access.joined(fastener).within(present) && !access.in_way(fastener).meets(present) &&
           !(on_site && site_in_way[static_cast<std::size_t>(fastener)]);
  }
};

}  // namespace garthwright::sequence
