// SPDX-License-Identifier: Apache-2.0
//
// Which sizes a picture of a structure is dimensioned with, read from the structure itself: where its posts, beams and
// rafters stand. Nothing here knows a pattern.
#pragma once

#include "sheets/brief.h"
#include "sheets/picture.h"

namespace garthwright::sheets {

/// Places along one axis of a picture, rising, in mm of the real thing; with the words for a gap where they are not
/// simply its length.
struct Measured {
  std::vector<double> at;
  std::vector<std::string> words;       ///< as many as gaps
  std::vector<std::string> brief = {};  ///< the same in one unit, for small gaps
};

/// The gaps between places, which are put in order. Places are rounded as they run on from the first, so that the
/// printed sizes add up to the printed whole.
Measured chain(std::vector<double> places, const Lengths& lengths);

/// Faces of the posts along the picture's x (or y), with both ends of everything.
Measured across_posts(const Structure& structure, const Picture& picture, bool along_x, const Lengths& lengths);
/// Foot, ground, underside of what lies on the posts, top of the posts, top of everything, along the picture's y.
Measured levels(const Structure& structure, const Picture& picture, const Lengths& lengths);
/// Centre lines of the rafters (or purlins) across their run; evenly spaced ones are one gap "8 spaces of 262 = 2096".
Measured across_rafters(const Structure& structure, const Picture& picture, bool along_x, const Lengths& lengths);
/// Outer faces of the beams and what reaches beyond them, along the picture's y (a plan).
Measured across_beams(const Structure& structure, const Picture& picture, const Lengths& lengths);
/// First and last place only.
Measured overall(double from, double to, const Lengths& lengths);

}  // namespace garthwright::sheets
