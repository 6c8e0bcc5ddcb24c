// SPDX-License-Identifier: Apache-2.0
//
// Which radius a saw blade follows. Bandsaws: the radius tables printed in bandsaw manuals, 1/8 to 1 in blades; where
// they differ, the larger radius (docs/references.md, key Blades). Jigsaws: common practice, no source. In wet treated
// timber of 45 mm and more a quarter is added, a caution of our own.
#pragma once

#include <string>
#include <vector>

#include "structure/saw.h"

namespace garthwright::marking {

struct Blade {
  CurveTool tool = CurveTool::bandsaw;
  double width_mm = 0;
  double least_radius_mm = 0;
  double most_thickness_mm = 1e9;  ///< of timber that it is fit for
  std::string inches;              ///< the width as it is sold there: "3/8"
};

/// Widest first, for each tool.
const std::vector<Blade>& blades();

/// mm; timber this thick or thicker asks for more room.
inline constexpr double kThickFrom = 45;

/// The least radius of a blade in timber of this thickness.
double least_radius(const Blade& blade, double thickness_mm);

/// The widest blade of a tool that follows the radius; null when none does.
const Blade* widest_for(CurveTool tool, double radius_mm, double thickness_mm);

/// The blade that will be used: the tool's widest one that is not wider than the saw's, or, when the job names no
/// blade, its narrowest fit for the thickness.
const Blade& blade_in_use(const Saw& saw, double thickness_mm);

/// "bandsaw blade 10 mm (3/8 in)".
std::string words_for(const Blade& blade);

}  // namespace garthwright::marking
