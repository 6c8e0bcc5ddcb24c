// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/length.h"
#include "sequence/order.h"
#include "sequence/rates.h"
#include "sequence/way.h"

/// Sub-assemblies that can be made on trestles and carried to their place whole.

namespace garthwright::sequence {

struct Unit {
  std::string name;
  std::string kind;  ///< equal for units that are made of equal pieces: they are made as one batch
  std::vector<int> bodies;
  PieceSet set;
  Vec3 down;    ///< the side of the finished structure that lies on the trestles first
  bool turned;  ///< some fixings are driven from the other side
  Problem problem;
  Order order;
  std::vector<int> fixings;  ///< driven on the trestles
  double kg = 0;
  Box box;
  bool standing = false;  ///< has posts that go into holes
  bool whole = false;     ///< made upside down on blocks: all of the structure that holds together so
  double sway_mm = 0;     ///< at its far end, pushed with kPush
  bool racks = false;     ///< so far that it needs a temporary batten before it is lifted
};

/// 'Racks' means: pushed sideways at the top with 100 N, the top goes further than height/100 (our own choice of both).
/// All corners turn by one angle g; their springs K = Σ Kser r² (slip moduli of EN 1995-1-1 table 7.1, formula from
/// memory, r from the middle of a joint's fixings) take up F h = K g, so the top goes F h² / K.
inline constexpr double kPush = 100;
inline constexpr double kSwayLimit = 1.0 / 100;

struct Racking {
  double height_mm = 0, sway_mm = 0;
  bool frame = false;   ///< it has pieces at right angles to each other at all
  bool braced = false;  ///< a brace makes a triangle of some corner
  bool racks() const { return frame && !braced && sway_mm > kSwayLimit * height_mm; }
};
Racking racking(const Kit& kit, const std::vector<int>& bodies, const std::vector<int>& fixings);

/// A lift: what it weighs, where the hands are, how many people it takes (one more than the most that may: too heavy).
struct Lift {
  double kg = 0, share = 1, hands_mm = 0;
  int people = 1;
};
Lift lift_to_trestles(const Kit& kit, int body, const Rates& rates);
inline constexpr int kMostInTeam = 3;
Lift lift_to_site(const Kit& kit, const std::vector<int>& bodies, const Rates& rates, int at_hand,
                  int most = kMostInTeam);

struct UnitLimits {
  int people = 2;
  double carry_mm = 0, carry_kg = 0;
  Opening through;
  LengthStyle style;
};

/// The structure's assemblies that can be made so and lifted by the people at hand.
std::vector<Unit> find_units(const Kit& kit, const Tables& tables, const Rates& rates, const UnitLimits& limits);

/// The structure made whole, upside down on blocks, without what nothing holds while it lies so. None where that cannot
/// be; `why_not` then says why.
std::optional<Unit> find_whole(const Kit& kit, const Tables& tables, const Rates& rates, const UnitLimits& limits,
                               std::string& why_not);

}  // namespace garthwright::sequence
