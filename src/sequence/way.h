// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/geometry.h"

/// The ways in which a structure can be put together, and what each of them takes.

namespace garthwright::sequence {

enum class Way {
  parts,  ///< parts are made on the ground and stood up, the rest goes in loose
  whole,  ///< made whole, upside down on blocks, turned over and carried to its place
  pieces  ///< put up piece by piece in its place
};
inline constexpr Way kWays[] = {Way::parts, Way::whole, Way::pieces};

std::string_view name(Way way);
std::optional<Way> way_named(std::string_view word);

/// A door, a gate or a passage between two walls.
struct Opening {
  double wide_mm = 0, high_mm = 0;  ///< 0: nothing is in the way
};
/// Whether a box of that size goes through, moved along its longest side.
bool passes(Vec3 size, const Opening& opening);

/// One of the ways, weighed.
struct WeighedWay {
  Way way = Way::parts;
  bool taken = false;
  std::string why_not;  ///< empty where it can be done
  double minutes = 0;
  std::size_t stages = 0;
  double lift_kg = 0;  ///< the heaviest lift,
  int people = 0;      ///< and who it takes by the guideline figures
  /// What is made elsewhere and carried in: the narrowest opening that the largest of it goes through; none where all
  /// goes in loose.
  std::optional<Opening> through;
};

/// More people than this cannot all take hold of one thing (our own).
inline constexpr int kMostCarriers = 14;

}  // namespace garthwright::sequence
