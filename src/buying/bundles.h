// SPDX-License-Identifier: Apache-2.0
#pragma once

/// Lengths sold in bundles: ten battens for one price, whole bundles only, cheaper each or not to be had otherwise.

#include <cstdint>
#include <vector>

#include "cutting/cutting.h"

namespace garthwright::buying {

/// `count` lengths of one stock for one price.
struct Bundle {
  int stock = 0;  ///< index in cutting::Problem::stock
  std::int64_t count = 1;
  std::int64_t cost = 0;  ///< minor units, of the whole bundle
};

/// A cutting problem some of whose stock is sold in bundles, besides one at a time or only so. The cost of a stock is
/// that of one length; its limit counts lengths, however they are sold.
struct BundleProblem {
  cutting::Problem cutting;
  std::vector<Bundle> bundles;
  std::vector<int> not_singly;  ///< stocks that are sold in bundles alone
};

/// What is bought, and how it is cut.
struct Purchase {
  /// Layouts are of the problem's stocks; cost and lower bound are of what is bought, bundles whole. `nodes` counts the
  /// kernel's and those over numbers of bundles.
  cutting::Result result;
  std::vector<std::int64_t> bundles;  ///< bought, by BundleProblem::bundles
  std::vector<std::int64_t> singles;  ///< by stock: bought one at a time, or taken of what is on hand
  std::vector<std::int64_t> spare;    ///< by stock: came in a bundle and is not cut
};

/// The least-cost purchase. Exact, by branch and bound over how many bundles of each kind are bought, with
/// cutting::solve for what follows from that. In a node those that are surely bought lie there for nothing, and more of
/// them cost, a length, their share of a bundle: no purchase within the node costs less. It is split where what the
/// kernel cuts are not whole bundles. Of what is bought, as little is cut as was found to do.
///
/// Options are as for the kernel; the work limit is of all solves together. Without bundles this is cutting::solve.
/// Refused, besides what the kernel refuses: bundles of no stock, counts outside 1 … 1e9, costs outside 0 … 1e12, and
/// sums past 2^60.
Purchase solve(const BundleProblem& problem, const cutting::Options& options = {});

}  // namespace garthwright::buying
