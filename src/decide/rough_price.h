// SPDX-License-Identifier: Apache-2.0
//
// What structures cost at least, quickly: timber by its length at the yard's least price for that, concrete by the
// litre, panels, and the cheapest fixings that could be in their joints. Each thing has its price whatever the others
// are, so that what one choice adds is seen beside what another does; what is bought costs more, in whole lengths and
// bags.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "decide/fixings.h"
#include "structure/garden.h"

namespace garthwright::decide {

class RoughPrices {
 public:
  /// `free_timber`: off-cuts are on hand; `free_fixings`: so are some of them.
  RoughPrices(const pattern::Job& job, bool free_timber, bool free_fixings);

  /// Minor units.
  double of(const Garden& garden) const;
  /// Of the cheapest fixings for the joints that may have others.
  double fixings(const Structure& structure) const;

 private:
  double timber(const Structure& structure) const;
  double holes(const Structure& structure) const;

  FixingPrices each_;
  std::map<std::string, double> per_mm_;                 // by section
  std::map<std::string, double> per_litre_, per_panel_;  // by kind and name of the bag; by item
  bool free_timber_ = false, free_fixings_ = false, rips_ = false;
};

/// Whether another may take the place of a connection's fixings.
bool may_change(const Connection& connection);
/// How many joints of a connection there are, taken that each has as many fixings as the first.
double joints_of(const Structure& structure, std::size_t connection);

}  // namespace garthwright::decide
