// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "base/length.h"
#include "sequence/rates.h"
#include "sequence/stages.h"
#include "sequence/way.h"
#include "solid/solid.h"
#include "structure/structure.h"

/// Start here: the order of work in which a structure can be built by one to three people with hand tools.
///
/// A body goes in along one straight way that nothing present stands in; each fixing is driven when its tool still has
/// room; what carries is there before what it carries; concrete sets before it is loaded; frames that rack are braced
/// before they are lifted; no lift is over the guideline figure for so many people. Among orders that hold to this the
/// search looks for least effort: which sub-assemblies to make on trestles (every choice of them is tried), then the
/// order of batches. `least_effort` is a bound below which no order lies that is made of these sub-assemblies: every
/// body and fixing at its cheapest place.
///
/// Every way of putting it together is weighed (sequence/way.h): in parts, whole, piece by piece. The one with least
/// effort that the people at hand can do is taken, or the one that is asked for.

namespace garthwright::sequence {

struct Options {
  int people = 2;  ///< 1 to 3
  bool no_power = false;
  std::string first;       ///< name of a sub-assembly to make, or of a piece (or its mark) to put up, before all others
  double carry_mm = 0;     ///< parts made in the workshop are no longer than this; 0: no limit
  double carry_kg = 0;     ///< nor heavier
  Opening through;         ///< and go through this
  std::optional<Way> way;  ///< else the one with least effort
  bool heads_in_place = false;  ///< posts are left long; their heads are cut at one level once their concrete has set
  Rates rates;
  LengthStyle style;
};

struct Report {
  std::vector<Stage> stages;     ///< empty when there is no order that holds to the rules; then a diagnostic says why
  double effort = 0;             ///< minutes
  double least_effort = 0;       ///< lower bound, minutes
  std::vector<WeighedWay> ways;  ///< in the order of kWays
  Diagnostics diagnostics;
};

/// Faults of the options: people not 1 to 3, limits below 0, a `first` the structure does not have.
Diagnostics check(const Structure& structure, const Options& options);

/// Deterministic. `solids` are of the same structure.
Report work_out(const Structure& structure, const solid::Solids& solids, const Options& options = {});

}  // namespace garthwright::sequence
