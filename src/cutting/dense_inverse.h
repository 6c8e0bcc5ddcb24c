// SPDX-License-Identifier: Apache-2.0
#pragma once

/// The inverse of a matrix written out in full: for a few dozen rows quicker than sparse factors, for every step runs
/// along short stretches of memory. Made, and kept, by exchanging one column for another (Gauss-Jordan, on the largest
/// entry of each column).

#include <cstddef>
#include <utility>
#include <vector>

#include "cutting/sparse_columns.h"

namespace garthwright::cutting {

class DenseInverse {
 public:
  /// Of a square matrix. Columns that depend on others by rounding are left out: (column, row without a pivot) of each
  /// is returned; the matrix then has 1 on that row instead.
  std::vector<std::pair<int, int>> invert(const SparseColumns& columns);
  /// A column left out stands for `value` on its row.
  void stand_in(int column, double value);

  /// v := B^-1 v; v is indexed by row before, by column after.
  void forward(std::vector<double>& v) const;
  /// v := v B^-1; v is indexed by column before, by row after.
  void backward(std::vector<double>& v) const;
  /// Another column stands at `position`; alpha = B^-1 of it, with alpha[position] not small.
  void exchange(int position, const std::vector<double>& alpha);

 private:
  double* of_row(int row) { return inverse_.data() + static_cast<std::ptrdiff_t>(row) * rows_; }
  const double* of_row(int row) const { return inverse_.data() + static_cast<std::ptrdiff_t>(row) * rows_; }

  int rows_ = 0;
  std::vector<double> inverse_;  // by row of the matrix, then by column
  mutable std::vector<double> work_;
};

}  // namespace garthwright::cutting
