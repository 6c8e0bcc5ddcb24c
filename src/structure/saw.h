// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>

#include "structure/structure.h"

namespace garthwright {

enum class CurveTool { jigsaw, bandsaw };

/// How the workshop saws: what each cut spends, and how much wider than the timber that goes in a notch is cut. All mm.
struct Saw {
  double kerf_mm = 3;   ///< between neighbours in a length
  double trim_mm = 10;  ///< off each new length, to square its end
  double fit_mm = 0;
  std::optional<double> rip_kerf_mm{};       ///< between strips ripped from one width; none: nothing is ripped
  CurveTool curve_tool = CurveTool::jigsaw;  ///< what shaped ends are sawn with
  double blade_mm = 0;                       ///< width of its blade; 0 when the job does not say
};

/// How a flat end cut is set on a saw, degrees off a square cut. `mitre` turns the saw in the plane of the wide side
/// (across the width), `bevel` tilts the blade (across the thickness). Both 0 for a square cut. The complement (90 less
/// the angle) is what some saws and every bevel gauge show.
struct SawSetting {
  double mitre_deg = 0;
  double bevel_deg = 0;
};

SawSetting saw_setting(const EndCut& cut);

}  // namespace garthwright
