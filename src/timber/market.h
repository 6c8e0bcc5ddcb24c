// SPDX-License-Identifier: Apache-2.0
#pragma once

/// Several yards looked at as one, so that a purchase may take each thing from whoever sells it cheapest.

#include <span>
#include <string>

#include "timber/yard.h"

namespace garthwright::timber {

/// The yards a purchase may use: bit i stands for the i-th.
using YardSet = unsigned;

/// What is paid for a listed price under these terms: tax is worked out on each price and rounded to the minor unit,
/// half up.
Money with_tax(Money listed, const Terms& terms);

/// One yard that sells what those of `which` (at least one) sell, at what is paid with tax; each thing knows its yard
/// and its price before tax (Offer). A thing is what the first of all `yards` to sell one of that name says it is:
/// where another's is not alike (size, kind, class, treatment), it is left out. Name, units and defaults are those of
/// the first of `which`, with the roles only others fill; several yards have none for bags, so that the cheapest of
/// their kind is taken. Terms are none. Of the same thing from two yards the cheaper is kept; `times` weighs each
/// yard's prices first (none: once).
Yard market(std::span<const Yard> yards, YardSet which, std::span<const int> times = {});

/// Why a yard's section of that name is not the first's: "47 x 100 mm where Harrow Lane's is 45 x 95 mm"; empty when
/// they are alike or one does not sell it.
std::string unlike(const Yard& first, const Yard& other, const std::string& section);

}  // namespace garthwright::timber
