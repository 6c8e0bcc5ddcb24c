// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "assembly/convex.h"

/// Start here: what is to be put together. Plain data; everything else in this room is a function of it.
/// Lengths mm, densities kg/m³, masses kg. All pieces stand where they stand in the finished whole.

namespace garthwright::assembly {

/// Solids may touch. They clash when they overlap by more than this, mm; it takes up the rounding of coordinates to a
/// micrometre, and a caller whose joints are drawn without play may choose a wider one.
inline constexpr double kTouch = 1e-3;

/// Seasoned softwood, kg/m³, where a piece does not say otherwise.
inline constexpr double kDensity = 480;

/// A union of convex parts that moves as one. Parts may touch or overlap each other.
struct Piece {
  std::string id;
  std::vector<ConvexPart> parts;
  bool fixed = false;  ///< present from the start and never moved
  double density = kDensity;
};

/// The room a driver, spanner or hammer needs: a square prism from `head` along `out`, `half_width` to each side.
struct ToolRoom {
  Vec3 head;
  Vec3 out;
  double half_width = 0;
  double length = 0;
};

/// What holds pieces together; a bolt needs room at its nut as well, so it has two tool rooms.
struct Fastener {
  std::string id;
  std::vector<int> joins;  ///< pieces, ascending
  std::vector<ToolRoom> rooms;
};

/// What stands on the site from the first day: solid ground below z = 0, and things in the way.
struct Site {
  bool ground = false;
  std::vector<ConvexPart> obstacles;

  bool empty() const { return !ground && obstacles.empty(); }
};

struct Assembly {
  std::vector<Piece> pieces;
  std::vector<Fastener> fasteners;
  Site site;
  double touch = kTouch;
};

/// The site as solids: the obstacles, and the ground as a block far wider than any garden.
std::vector<ConvexPart> solids_of(const Site& site);

/// The piece called `id`, or -1.
int piece_index(const Assembly& assembly, const std::string& id);

/// Volume times density, overlaps of its parts counted once.
double mass(const Piece& piece);

/// Centre of mass; mass in kg beside it.
struct MassPoint {
  double kg = 0;
  Vec3 centre;
};
MassPoint mass_point(const std::vector<const Piece*>& pieces);

}  // namespace garthwright::assembly
