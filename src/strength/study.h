// SPDX-License-Identifier: Apache-2.0
//
// Will it stand: the loads of a site on a structure in four states (new and bare, overgrown in leaf, winter, a person),
// combined by EN 1990 or ASCE 7-16, carried through the frame, and held against what timbers and joints can give by
// EN 1995-1-1 or the NDS. Indicative and on the safe side; local codes and licensed practice go before it.
#pragma once

#include <string>
#include <vector>

#include "strength/cases.h"
#include "structure/check.h"
#include "structure/garden.h"
#include "structure/site.h"

namespace garthwright::strength {

/// What a post asks of its hole, at ground level: sideways force (N), moment (N·mm), and force down (N, up negative).
/// `level`: service is characteristic (EN) or allowable stress (US); equilibrium is for uplift.
struct FootingLoad {
  enum class Level { service, equilibrium };
  int footing = 0;
  Level level = Level::service;
  Situation when;
  double sideways_n = 0, moment_nmm = 0, down_n = 0;
};

/// A bar in its place and bent (mm), for the picture; of the overgrown state under wind.
struct BentBar {
  PieceId piece;
  Vec3 from, to, from_shift, to_shift;
};

struct StructureReport {
  std::string structure;
  std::vector<FootingLoad> footing_loads;
  std::vector<BentBar> bent;
  std::vector<double> utilisation;      ///< of each piece, the worst of its checks; below 0: carries nothing
  std::string mechanism;                ///< in words, empty when it stands with pinned joints
  double racking_x = 0, racking_y = 0;  ///< N/mm at the head, joints by their fixings
  double racking_x_unbraced = 0, racking_y_unbraced = 0;
};

struct Report {
  std::vector<Check> checks;
  std::vector<StructureReport> structures;
};

/// `bases[i]`: springs of the ground for structures[i].footings; empty: posts held fast.
Report study(const Garden& garden, const Site& site, const std::vector<std::vector<BaseSpring>>& bases);

/// Of one structure, whose frame is there already; `bases` are those that it was made with.
Report study(const Structure& structure, Carcass& carcass, const Site& site, const std::vector<BaseSpring>& bases);

/// Of one structure, only what loads make give way in what is asked: timbers, notches, joints, and what the posts ask
/// of their holes.
Report study(const Structure& structure, Carcass& carcass, const Site& site, const Asking& asking);

/// Where there is no frame: why.
Check no_frame(const Diagnostic& why);

}  // namespace garthwright::strength
