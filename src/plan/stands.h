// SPDX-License-Identifier: Apache-2.0
//
// What a structure stands up to, as a person asks it: the wind at which the first thing gives, in each state of the
// garden, and what gives. The frame is solved anew at each wind: forces do not grow in step with it where timbers lift
// off each other and leaves turn.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "structure/check.h"
#include "structure/garden.h"
#include "structure/site.h"

namespace garthwright {

struct Stand {
  PartId part;
  State::Kind state = State::Kind::bare;  ///< person: someone leans on it or hangs from it, without wind
  double gives_at_m_s = 0;                ///< as Site::wind_m_s is measured; 0 where it gives without any wind
  double asked_m_s = 0;                   ///< the site's; 0 for a person
  std::optional<Check> first;  ///< what gives first; nothing where all holds up to gives_at_m_s, where the search ends

  bool enough() const { return !first || (asked_m_s > 0 && gives_at_m_s >= asked_m_s); }
};

/// Where the search ends: the strongest wind that [site] takes.
double strongest_wind(const Site& site);

std::vector<Stand> stands_of(const Garden& garden, const Site& site);

/// "arbor: stands to 31 m/s bare and 22 m/s overgrown; your garden asks 24": a line for each part. Where the code is
/// not satisfied and the part is made as the trade makes them, it says both.
std::vector<std::string> stand_lines(const std::vector<Stand>& stands, const Garden& garden, const Site& site);

/// Posts and holes as the trade makes them (common practice): posts of 70 mm or more, a fifth of their length and at
/// least 600 mm in the ground, every joint between timbers fixed or meant to be bare. No pass: only that many such
/// stand.
bool customary(const Structure& structure);

}  // namespace garthwright
