// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>

#include "base/diagnostic.h"

/// How long things take and how much one person should lift: what an order of work is weighed with. The numbers of
/// minutes are estimates of our own; docs/rates.toml holds the same ones, to be corrected by whoever has timed them.

namespace garthwright::sequence {

/// Minutes, if nothing else is said.
struct Rates {
  double prepare_piece = 7;  ///< mark out and cut one piece
  double machine_notch = 8;  ///< one notch, halving, shaped end
  double seal_piece = 1.5;   ///< preservative on every cut of one piece
  double dig_litre = 0.5;    ///< by hand
  double gravel_hole = 3;    ///< fill in and ram
  double fetch = 0.5;        ///< one thing, plus for its mass and length:
  double fetch_kg = 0.03;
  double fetch_m = 0.2;
  double screw = 0.4;
  double coach_screw = 2;
  double bolt = 3;
  double nail = 0.3;
  double by_hand = 2.5;  ///< times: drilling and driving without power
  double cramped = 1.5;  ///< times: with a right-angle driver or a spanner
  double overhead = 2;   ///< times: above shoulder height, on a platform
  double tool_change = 0.3;
  double second_person = 0.5;  ///< for each lift, for each person more
  double stage = 2;            ///< read the sheet, lay out tools
  double turn = 2;             ///< turn a sub-assembly over, plus for its mass:
  double turn_kg = 0.1;
  double prop = 3;  ///< a temporary rest or a pair of struts, put up
  double unprop = 1;
  double batten = 3;      ///< temporary batten across a frame, with its diagonals checked
  double plumb = 8;       ///< plumb, space and level what stands in one set of holes
  double fill_hole = 10;  ///< mix and pour
  double setting_h = 24;  ///< hours before load; bags give their own figure, which goes first

  double platform_mm = 1200;   ///< the highest platform at hand
  std::string person = "man";  ///< whose guideline figures: "man" or "woman"
};

/// Reads a file of rates (TOML): every key is one of the names above and replaces the number here. Errors name the
/// line.
Result<Rates> parse_rates(std::string_view toml, const std::string& file);

/// What one person may lift with the hands at that height over where they stand, close to the body, kg. Guideline
/// figures of HSE, INDG143 and L23 (from memory, except 25 and 16 kg at knuckle height); zones for a person of 1.75 m.
/// A filter, not a limit: below it a lift needs no closer look.
double guideline_kg(std::string_view person, double hands_mm);

/// The same for a team: two lift two thirds of their sum, three one half (INDG143, from memory).
double team_share(int people);

/// The height over the platform on which a person stands to work at `z_mm` over the ground.
double hands_over_platform(const Rates& rates, double z_mm);

/// Shoulder height: work above it counts as overhead.
inline constexpr double kShoulder = 1450;
/// Trestles: the height at which sub-assemblies are made.
inline constexpr double kTrestle = 800;

}  // namespace garthwright::sequence
