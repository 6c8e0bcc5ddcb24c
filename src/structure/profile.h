// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "structure/structure.h"

namespace garthwright {

/// The shape of a timber's end, in a unit square that is scaled to the section: u = 0 at the tip and 1 where the shape
/// meets the underside, v = 0 at the underside and 1 below the nose. The path runs from (1, 0) to (0, 1).
/// A free curve is a chain of cubic Bézier strokes (3 n + 1 points).
struct Profile {
  std::string name;                           ///< "square", "bevel", "quarter round", "cove", "ogee" or "free"
  std::vector<std::array<double, 2>> points;  ///< free only, in the order drawn from (0, 1) to (1, 0)
};

/// The names that `named_profile` knows.
const std::vector<std::string>& profile_names();
Result<Profile> named_profile(std::string_view name);
/// Fails unless there are 3 n + 1 points inside the unit square, from (0, 1) to (1, 0).
Result<Profile> free_profile(std::vector<std::array<double, 2>> points);

/// Height of the uncut nose above the shape, mm: a quarter of the section, at least 20 mm, at most half the section
/// (common practice, no source).
double nose_height(double width_mm);

/// The path on a timber of this length and width, scaled so that the shape is as long as it is high. `under_high`:
/// the underside is the edge y = width. Runs from the edge y = 0 to the edge y = width.
ShapedEnd shaped_end(const Profile& profile, End end, double length_mm, double width_mm, bool under_high);

/// The same path walked the other way.
ShapedEnd walked_back(const ShapedEnd& shape);

}  // namespace garthwright
