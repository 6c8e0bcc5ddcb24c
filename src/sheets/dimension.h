// SPDX-License-Identifier: Apache-2.0
//
// Dimension lines around a picture, in tiers: details nearest to it, the overall size outermost. A number stands on its
// line where it fits; where the gap is too small it stands beyond the line, shifted until it is clear of its
// neighbours, with a leader. Extension lines stop short of any number they would run through.
#pragma once

#include <string>
#include <vector>

#include "sheets/pen.h"

namespace garthwright::sheets {

enum class Side { below, right, above, left };

/// A chain of sizes along one side: at[i] to at[i+1] is worded words[i] (empty: not dimensioned). Places are x on the
/// page for below and above, y for left and right; in rising order.
struct Chain {
  std::vector<double> at;
  std::vector<std::string> words;
  std::vector<std::string> brief = {};  ///< shorter words for gaps where those do not fit; none: the same
};

/// Tiers on one side, the nearest first.
struct Tiers {
  Side side = Side::below;
  std::vector<Chain> chains;
};

/// How far from the picture these tiers reach, mm, as `dimension` will draw them.
double depth(const Tiers& tiers, double least, double most);

/// Draws the tiers outside `picture`. Numbers stay between `least` and `most` along the side (x or y on the page).
void dimension(Items& items, const Rect& picture, const Tiers& tiers, double least, double most);

/// Moves centres of things of the given widths as little as possible so that none are closer than `gap`, all in order
/// and within [least, most] where they fit there at all.
std::vector<double> spread(const std::vector<double>& centres, const std::vector<double>& widths, double gap,
                           double least, double most);

}  // namespace garthwright::sheets
