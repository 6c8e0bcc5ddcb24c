// SPDX-License-Identifier: Apache-2.0
#pragma once

/// The basis of a linear programme as sparse factors. B = L U as it was factored; each exchange of a column since then
/// is one elementary column beside them (product form of the inverse; Dantzig and Orchard-Hays, 1954). Columns that
/// stand alone in a row, or rows in a column, are taken first and need no arithmetic; the rest is eliminated column by
/// column (Gilbert and Peierls, SIAM J. Sci. Stat. Comput. 9, 1988) with pivots from rows of few entries. Small bases
/// are inverted in full instead (dense_inverse.h).

#include <cstdint>
#include <utility>
#include <vector>

#include "cutting/dense_inverse.h"
#include "cutting/sparse_columns.h"

namespace garthwright::cutting {

class BasisFactor {
 public:
  using Columns = SparseColumns;

  /// Factors a square matrix. Columns that depend on others by rounding are left out: (column, row without a pivot) of
  /// each is returned, and the matrix that was factored has `stand_in(row)` on the row instead.
  template <class StandIn>
  std::vector<std::pair<int, int>> factor(const Columns& columns, StandIn stand_in) {
    std::vector<std::pair<int, int>> left_out = begin(columns);
    for (const auto& [column, row] : left_out) {
      if (dense_)
        inverse_.stand_in(column, stand_in(row));
      else
        add_pivot(row, column, stand_in(row));
    }
    return left_out;
  }

  /// v := B^-1 v; v is indexed by row before, by column after.
  void forward(std::vector<double>& v) const;
  /// v := v B^-1; v is indexed by column before, by row after.
  void backward(std::vector<double>& v) const;

  /// Another column stands at `position`; alpha = B^-1 of it, with alpha[position] not small.
  void exchange(int position, const std::vector<double>& alpha);

  /// Whether factoring anew would now be quicker than going on.
  bool worn() const;
  /// Entries that one pass goes through.
  std::int64_t entries() const {
    if (dense_) return static_cast<std::int64_t>(rows_) * rows_ / 4;
    return static_cast<std::int64_t>(lower_row_.size() + upper_row_.size() + other_.size() + pivot_row_.size());
  }

 private:
  std::vector<std::pair<int, int>> begin(const Columns& columns);
  std::vector<std::pair<int, int>> eliminate(const Columns& columns);
  // The next step's; its entries in `lower_` and `upper_` stand there already.
  void add_pivot(int row, int column, double value);

  bool dense_ = false;
  DenseInverse inverse_;
  int rows_ = 0, exchanges_ = 0;

  // By step of the elimination. Entries below the pivot in `lower`, of rows with earlier pivots in `upper`.
  std::vector<int> pivot_row_, pivot_column_, lower_start_, upper_start_;
  std::vector<double> pivot_;
  std::vector<int> lower_row_, upper_row_;
  std::vector<double> lower_, upper_;
  std::vector<int> steps_below_;  // steps with entries in `lower`

  std::vector<int> exchanged_, other_start_{0}, other_row_;  // by exchange: its position, where its entries start
  std::vector<double> exchanged_pivot_, other_;
  mutable std::vector<double> work_;
};

}  // namespace garthwright::cutting
