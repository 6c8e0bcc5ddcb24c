// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

namespace garthwright::cutting {

/// Columns of a matrix one after another; `start` has one entry more than there are columns.
struct SparseColumns {
  std::vector<int> start{0}, row;
  std::vector<double> value;

  void add(int r, double v) {
    row.push_back(r);
    value.push_back(v);
  }
  void close() { start.push_back(static_cast<int>(row.size())); }
  int count() const { return static_cast<int>(start.size()) - 1; }
};

}  // namespace garthwright::cutting
