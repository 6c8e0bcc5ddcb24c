// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <span>
#include <string_view>

/// What grows on it: mass and density of climbers. There is no published drag of climbing plants and no published
/// solidity by species (Arnold, Gosztonyi & Luible, J. Facade Design & Engineering 9(2), 2021); what is marked as a
/// proposal is a cautious figure of our own, to be shown as such and never as a code value.
namespace garthwright::strength::climbers {

/// Rows of a German table of climber weights in leaf and dripping wet ("Gewichtsabschätzung"): single investigations,
/// not statistics; fruit comes on top. 0 where the table has none. Already wet: no wet factor on top.
struct Weight {
  std::string_view species;
  double height_m = 0, stem_diameter_cm = 0, wood_kg = 0, total_kg = 0;
  double pruned_2m_kg_m2 = 0, pruned_1m_kg_m2 = 0, pruned_narrow_kg_m = 0;
  int load_class = 0;
};
std::span<const Weight> weights();
std::optional<Weight> weight(std::string_view species);

/// Proposals for design, by kind: mass of a grown and pruned plant, wet, and how dense it stands.
struct Climber {
  std::string_view kind;  ///< "wisteria", "climbing_rose", …
  double wet_mass_kg_m2 = 0;
  double years_to_mature = 1;
  double spread_m2 = 0;
  double solidity_summer = 0, solidity_winter = 0;  ///< of the plant alone
};
std::span<const Climber> climbers();
std::optional<Climber> climber(std::string_view kind);

/// The Ecology of Building Materials, Table 10.5: greatest heights, m.
struct Height {
  std::string_view kind;
  double from_m = 0, to_m = 0;
};
std::optional<Height> height(std::string_view kind);

inline constexpr double kLightest = 1, kHeaviest = 50;           ///< kg/m², green facades (s3i.co.uk)
inline constexpr double kTypicalLeast = 5, kTypicalMost = 8;     ///< kg/m² (tensile.com.au)
inline constexpr double kWetDeciduous = 2, kWetEvergreen = 3;    ///< on DRY mass only (s3i.co.uk)
inline constexpr double kOvergrownSolidity = 1;                  ///< as a closed surface for wind (s3i.co.uk)
inline constexpr double kMediumLeast = 1.0, kMediumMost = 1.2;   ///< kg/l, saturated light growing medium
inline constexpr double kSlowFtPerYear = 1, kFastFtPerYear = 2;  ///< up to slow; from fast; medium between

/// Part of its grown cover that a plant has after so many years. Design is always for 1; this is for information.
constexpr double coverage(double years, double years_to_mature) {
  return years_to_mature > 0 && years < years_to_mature ? (years > 0 ? years / years_to_mature : 0) : 1;
}
/// Trellis and plant overlapping at random: 1 - (1 - φt)(1 - φp c).
constexpr double combined_solidity(double trellis, double plant, double coverage) {
  return 1 - (1 - trellis) * (1 - plant * coverage);
}

}  // namespace garthwright::strength::climbers
