// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "buying/buying.h"

namespace garthwright::buying {

/// The lengths to buy of every section, and how to cut them: a cutting problem for each section the structures use, in
/// the yard's order. Adds to timber, cutting, proof and diagnostics of the report.
void buy_lengths(const std::vector<Structure>& structures, const timber::Yard& yard, const Saw& saw,
                 const cutting::Options& options, Report& report);

}  // namespace garthwright::buying
