// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <span>
#include <string>

#include "timber/yard.h"

namespace garthwright {

/// What lies along the line of a fixing, mm.
struct FixingLine {
  double head_side = 0;    ///< the first body, from the head to its joint
  double through = 0;      ///< from the head to the last joint
  double last = 0;         ///< what the last body has to give
  bool end_grain = false;  ///< the last body is met along its length
};

/// What is asked of a fixing: one by name, or the shortest of a kind that suits. A name may leave out the length, as
/// "bolt M10" or "structural screw 8": then the yard's shortest of that size.
struct FixingWanted {
  timber::FixingKind kind = timber::FixingKind::screw;
  double least_diameter = 0;
  std::string item;
  bool structural = false;  ///< of screws only those made for carrying
};
/// Whether an item is what is asked, lengths and line aside.
bool is_wanted(const FixingWanted& wanted, const timber::FixingItem& item);
/// Its name without the length: "bolt M10" of "bolt M10x140", "lag screw 3/8" of "lag screw 3/8 x 4 in".
std::string_view size_name(std::string_view item);

struct FixingChoice {
  const timber::FixingItem* item = nullptr;
  double sunk = 0;    ///< counterbore that lets the head in, mm
  bool suits = true;  ///< false: only the nearest that is sold
};

/// The shortest that suits by the rule of the trade (common practice, no source): a screw goes six diameters, and
/// twelve millimetres more into end grain, beyond the last joint (or through six tenths of a body too thin for that)
/// and stops 4 mm short of coming out; a bolt is 20 mm longer than what it goes through. Where none is long enough the
/// head is sunk by up to half of the first body; where even that does not do, four diameters must. Failing all, the
/// nearest of the kind, marked as not suiting; nothing when the yard sells none of it.
std::optional<FixingChoice> choose_fixing(const FixingWanted& wanted, const FixingLine& line,
                                          std::span<const timber::FixingItem> sold);
/// Of items that all are what is wanted.
std::optional<FixingChoice> choose_fixing(std::span<const timber::FixingItem* const> wanted, const FixingLine& line);

/// "coach bolt", for messages.
std::string_view name(timber::FixingKind kind);
/// "between 116 mm and 140 mm": lengths that would suit a fixing of this diameter.
std::string wanted_length(timber::FixingKind kind, double diameter_mm, const FixingLine& line);

}  // namespace garthwright
