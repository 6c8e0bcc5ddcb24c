// SPDX-License-Identifier: Apache-2.0
//
// In which order the timber is cut, with as few settings of the stop as there are different lengths, and what is not to
// be cut from paper at all: where a chain of sizes runs through things that nobody places to a millimetre (holes in the
// ground, a wall), offering the piece up beats computing.
//
// The tolerance run: a piece that fits between two others (butting between them, or notched over both) needs their
// distance. The chain with the least scatter is sought that holds those two in their places without the piece and its
// like: through timbers (their section as sawn, 1 mm: EN 336 class 2, from memory; a cut, 1 mm), through the ground (10
// mm for each hole: common practice, no source) or along a wall (5 mm). Independent scatters add as squares. More than
// a joint takes up (kTakesUp and the saw's fit) means: measure in place.
#pragma once

#include <string>
#include <vector>

#include "base/length.h"
#include "structure/garden.h"
#include "structure/saw.h"

namespace garthwright::marking {

inline constexpr double kTakesUp = 3;  ///< mm that a joint gives by pulling and planing (common practice, no source)

/// All pieces of one mark, cut with one setting of the stop. The first is the pattern: it is tried before the rest.
struct Cut {
  std::string mark;
  int count = 0;
  double length_mm = 0;
};

/// One setting of the stop, for every mark of that length whatever its section.
struct StopSetting {
  double length_mm = 0;
  std::vector<Cut> cuts;
};

/// What is not to be cut from paper.
struct InPlace {
  /// The piece itself, only its notches (its ends are free), or the head of a post, which is left long.
  enum class What { length, notches, head };
  std::string mark;
  int count = 0;
  double length_mm = 0;  ///< as computed, for buying
  What what = What::length;
  double scatter_mm = 0;  ///< of the chain; 0 where the pattern asks for it
  std::string why;        ///< "its place between ledger D1 and beam B1 is known to 11 mm: …"
};

struct CuttingOrder {
  std::vector<StopSetting> stops;  ///< longest first: a spoilt long piece becomes a short one
  std::vector<InPlace> in_place;   ///< longest first; those of which only notches wait are among the stops too
};

/// By how much a post is left long whose head is cut when it stands (common practice, no source).
inline constexpr double kLeftLong = 100;

/// Where post heads are cut in place, every post in the ground is cut that much longer first.
enum class Heads { at_the_bench, in_place };

CuttingOrder cutting_order(const Garden& garden, const Saw& saw = {}, LengthStyle style = {},
                           Heads heads = Heads::at_the_bench);

/// The entry of a mark among those in place; null when it is cut from paper.
const InPlace* find_in_place(const CuttingOrder& order, std::string_view mark);

}  // namespace garthwright::marking
