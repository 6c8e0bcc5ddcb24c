// SPDX-License-Identifier: Apache-2.0
//
// The kinds of joint in a structure: places where the same members meet the same way and are fixed alike, told once
// and numbered in Roman figures, by which elevations point to them.
#pragma once

#include <string>
#include <vector>

#include "structure/structure.h"

namespace garthwright::sheets {

/// Bodies that the same fixings hold together: two, or more where a bolt goes through all of them.
struct JointPlace {
  JointId joint;               ///< the first of those that the fixings go through
  std::vector<Body> bodies;    ///< in the order in which the fixings go through them
  std::vector<int> fixings{};  ///< indices into Structure::fixings, rising
};

struct JointSort {
  std::string numeral;  ///< "IV"
  std::vector<JointPlace> places;
  const JointPlace& example() const { return places.front(); }
};

/// Numbered from `first` on, in the order in which they are first met.
std::vector<JointSort> joint_sorts(const Structure& structure, int first = 1);

/// 1 to 3999.
std::string roman(int number);

}  // namespace garthwright::sheets
