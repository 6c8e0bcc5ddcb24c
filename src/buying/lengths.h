// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "buying/buying.h"

namespace garthwright::buying {

/// Equal pieces of one section.
struct Wanted {
  std::string mark, name;
  double length_mm = 0;
  int quantity = 0;
};

/// A kind of length that the pieces of a section can come out of: sold by the yard, or an off-cut on hand.
struct Source {
  timber::YardLength length;
  bool from_shed = false;
};

/// The kernel counts whole micrometres. Fractions of one are dropped (a thousandth of a kerf's own tolerance), so that
/// two pieces of 47 15/16 in and a 1/8 in kerf do come out of 8 ft; what doubles add below a nanometre is no length.
std::int64_t micrometres(double mm);

/// What a piece of the section can come out of: the yard's lengths in their order, then off-cuts as they are on hand.
std::vector<Source> sources_of(const timber::Section& section, const Saw& saw, const OnHand& on_hand);

/// The cutting problem of one section in the coarsest unit that holds all its figures exactly.
cutting::Problem problem_of(const std::vector<Source>& sources, const std::vector<Wanted>& wanted, const Saw& saw);

/// The lengths to buy of every section, and how to cut them: a cutting problem for each section the structures use, in
/// the yard's order. Adds to timber, cutting, what is used of the shed, what is left over, proof and diagnostics of the
/// report.
void buy_lengths(const std::vector<Structure>& structures, const timber::Yard& yard, const Saw& saw,
                 const OnHand& on_hand, const cutting::Options& options, Report& report);

}  // namespace garthwright::buying
