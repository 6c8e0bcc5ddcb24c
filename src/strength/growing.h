// SPDX-License-Identifier: Apache-2.0
//
// How a structure grows into its load: the years before its plant is mature, wind leading. They judge nothing; they say
// since when a hole is too weak, and are solved only where one is.
#pragma once

#include "strength/situations.h"
#include "strength/study.h"

namespace garthwright::strength {

/// Service cases alone.
Situations years_of(const SiteLoads& loads, const Site& site);

/// What the posts ask of their holes in those years; nothing where something comes off before.
std::vector<FootingLoad> as_it_grows(const Structure& structure, const Site& site,
                                     const std::vector<BaseSpring>& bases);

}  // namespace garthwright::strength
