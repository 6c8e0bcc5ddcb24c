// SPDX-License-Identifier: Apache-2.0
//
// What the yard has to join bodies as the trade would: candidates of number, size and kind, best first, by a rule of
// thumb. Strength judges them afterwards; whoever decides steps along the list (Structure::connections).
#pragma once

#include "structure/joinery.h"

namespace garthwright {

/// What is joined, how much load it passes, and what the trade would take there.
struct ToConnect {
  std::vector<Body> through;       ///< head side first
  std::vector<std::string> kinds;  ///< best first: kinds of fixing, or "structural screw" for those made for carrying
  double load_n = 0;               ///< that a joint of these is asked to pass, any way
  double least_diameter = 0;
  int count = 1, most = 1;  ///< fewest and most in one joint
  double every_mm = 0;
  bool us = false;  ///< distances by the American tables
};

/// What one fixing is good for by thumb, N: 22 N/mm² of its diameter squared (a short-term design value of softwood
/// outdoors, side grain: our own, of the order of EN 1995-1-1 8.2.2), or what is declared as allowable; of a bent part
/// half of the least declared, all of it where that is allowable (`us`).
double thumb_strength(const timber::FixingItem& item, bool us = false);

/// A candidate as a job writes it ("2 x coach screw M10"), and how it would be set; no text where there is none.
struct FirstCandidate {
  std::string text;
  Fastened set;
};
/// The candidate to take: of those strong enough by thumb with their distances kept, the first kind's weakest. None
/// when nothing sold suits. Lays out no more of them than it must.
FirstCandidate first_candidate(const Structure& structure, FixingsByBody& set, const ToConnect& wish,
                               std::span<const timber::FixingItem> sold);

/// What else could be asked for: `taken` first, then what is stronger by thumb, weakest first, then the rest, strongest
/// first. None is laid out: some may find no room, or no length that suits.
std::vector<std::string> candidates(const ToConnect& wish, const std::string& taken,
                                    std::span<const timber::FixingItem> sold);

/// The kind as patterns and jobs call it; false for an unknown word.
bool want_kind(std::string_view word, FixingWanted& wanted);
const std::vector<std::string>& fixing_words();

}  // namespace garthwright
