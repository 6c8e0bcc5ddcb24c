// SPDX-License-Identifier: Apache-2.0
#pragma once

/// Whether a mix of bars can be cut into all pieces, where the patterns are too many to list: branch and price on pairs
/// (after Ryan and Foster, 1981). Either some bar holds one of item a and one of item b, which then are one longer
/// item, or no bar holds both. Items stay whole lengths in both cases, so pricing stays a knapsack. Nodes are closed by
/// whole-number arithmetic, or by listing the patterns left once branching has made them few.

#include <memory>
#include <span>

#include "cutting/branch.h"
#include "cutting/column_generation.h"
#include "cutting/model.h"
#include "cutting/work.h"

namespace garthwright::cutting {

struct PairLimits {
  std::int64_t nodes = 1000;
  std::size_t listed_patterns = 5000;
};

/// The search, which can go on where it stopped. Depth first; a node waits with the columns it starts from.
class PairSearch {
 public:
  /// Patterns of `pool` are the first columns; `basis`: those in the basis of a relaxation of the mix, if one has been
  /// solved. The model must outlive the search.
  PairSearch(const Model& model, std::span<const std::int64_t> mix, const PatternPool& pool,
             std::span<const int> basis);
  PairSearch(PairSearch&&) noexcept;
  PairSearch& operator=(PairSearch&&) noexcept;
  ~PairSearch();

  /// Looks at up to so many nodes more. Unknown at once where a row can be met in several ways; `nodes` are those of
  /// this call.
  PackResult run(const PairLimits& limits, Work& work);
  /// Whether more nodes could still decide.
  bool open() const;
  std::span<const std::int64_t> mix() const;

 private:
  struct Tree;
  std::unique_ptr<Tree> tree_;
};

}  // namespace garthwright::cutting
