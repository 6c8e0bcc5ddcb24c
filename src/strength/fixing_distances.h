// SPDX-License-Identifier: Apache-2.0
//
// How far fixings are from ends, edges and one another in each timber, and how far they must be: for the force of a
// case, since wind from the other side makes a free end a loaded one. EN 1995-1-1 Tables 8.2, 8.4, 8.6; NDS Tables
// 12.5.1A–D from a quarter inch (below it the NDS gives no figure and the European ones are a counsel).
#pragma once

#include <array>
#include <string>
#include <vector>

#include "strength/fixing_strength.h"

namespace garthwright::strength {

/// A fixing in one timber of a joint: room towards the start and finish of its grain and towards its two edges, mm.
struct Around {
  Body body;
  std::array<double, 2> end{}, edge{};
  Vec3 grain, side;  ///< unit, world: towards the finish; across it, square to the fixing
  Vec3 at;           ///< in the middle of its depth there
  double depth = 0;  ///< of the fixing in it
  bool end_grain = false;
};
Around around(const Structure& structure, const PlacedFixing& fixing, std::size_t layer);

/// A distance beside what is wanted.
struct Distance {
  enum class To { none, end, edge, next };
  double actual = 1e9, wanted = 0;
  To to = To::none;
  bool loaded = false;  ///< the end or edge that is pressed towards
  Body in = kGround;
  double use() const { return actual > 1e-6 ? wanted / actual : wanted > 0 ? kNoStrength : 0; }
  double short_of() const { return wanted - actual; }
};
/// "loaded end of rail B1"
std::string words_of(const Structure& structure, const Distance& distance);
/// Set by hand to a pencil line: as much is forgiven (our own).
inline constexpr double kSetByHand = 2;         // mm
inline constexpr double kSetByHandPart = 0.05;  // of what is wanted

/// What acts on the timber at this fixing: `across` its axis, world; whether it counts as loaded, and as pulled.
struct OnTimber {
  Vec3 across;
  bool loaded = false, pulled = false;
};

/// The distance that is shortest beside what is wanted, of one fixing to ends and edges, of two to one another.
Distance to_borders(const Structure& structure, const Site& site, const PlacedFixing& fixing, const Around& around,
                    const OnTimber& on);
Distance to_next(const Structure& structure, const Site& site, const PlacedFixing& a, const Around& in,
                 const PlacedFixing& b, const Around& next, const OnTimber& on);
/// C_delta of NDS 12.5.1 for the same.
double geometry_of_borders(const PlacedFixing& fixing, const Around& around, const OnTimber& on);
double geometry_of_next(const PlacedFixing& a, const Around& in, const Around& next);

/// Whether the bolt rules hold for it (8.7.1), and the diameter that spacing is counted in.
bool by_bolt_rules(const PlacedFixing& fixing);
double spacing_diameter(const PlacedFixing& fixing);

}  // namespace garthwright::strength
