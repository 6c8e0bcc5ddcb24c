// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string_view>
#include <vector>

#include "base/diagnostic.h"
#include "structure/garden.h"
#include "structure/site.h"

namespace garthwright {

/// How a climber holds on, and what it asks for: common practice, no source.
struct Support {
  std::string_view kind;      ///< strength::climbers
  std::string_view holds_on;  ///< "twines"
  double apart_mm = 0;        ///< wires from one another; 0: it wants none
  double wire_mm = 0;         ///< across
};
const Support* support_of(std::string_view climber);

/// Wires and eyes for what grows on a structure: up its posts, and over its roof where the timbers lie farther apart
/// than the plant asks. Panels are lattice already.
struct Wires {
  int posts = 0;
  int roof = 0;       ///< wires over the roof
  double gap_mm = 0;  ///< largest between two timbers of the roof, middle to middle
  double length_m = 0;
  int eyes = 0;
};
Wires wires_for(const Structure& structure, const Support& support);

/// A remark for each structure whose climber the job names: what it holds on by, and how much wire and how many eyes
/// that takes. What nobody chose is not told of.
Diagnostics climber_wires(const Garden& garden, const Site& site, bool site_says);

}  // namespace garthwright
