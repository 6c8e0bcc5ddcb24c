// SPDX-License-Identifier: Apache-2.0
//
// How long timber lasts where it stands: years at the ground line from published tables, and where water stays.
#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "structure/structure.h"
#include "timber/yard.h"

namespace garthwright::strength::durability {

/// Years in the ground of heartwood stakes of 50 × 50 mm by class of natural durability (EN 350; BRE Digest 429, from
/// memory): the least of each class. 5 is not durable, as are spruce and all sapwood.
double stake_years(int durability_class);
/// Class of a species by EN 350 (from memory; where it gives two, the worse); nothing where it is not known.
std::optional<int> natural_class(std::string_view species);
/// BS 8417: treated to use class 4, 15 years unless 30 were ordered; also what AWPA's UC4 are taken for, which names
/// none.
inline constexpr double kTreatedYears = 15;
inline constexpr double kStake =
    50;  ///< mm; a thicker timber lasts longer in step with it, our own, as BRE found for 100
/// A garden structure is replaced sooner than a house: EN 1990 Table 2.1 has 10 to 25 years for replaceable parts.
inline constexpr double kWantedYears = 15;

bool for_the_ground(const timber::Section& section);  ///< treated to UC4 or better
double ground_years(const timber::Section& section);

/// Where water stays on a timber.
enum class Trap { end_grain_up, notch_to_the_sky, flat_lap };
struct Wet {
  Trap trap = Trap::end_grain_up;
  PieceId piece;
};
std::vector<Wet> water_traps(const Structure& structure);

}  // namespace garthwright::strength::durability
