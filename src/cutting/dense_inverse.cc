// SPDX-License-Identifier: Apache-2.0
#include "cutting/dense_inverse.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace garthwright::cutting {
namespace {

constexpr double kSingular = 1e-9;  // no pivot is smaller

// to += factor * from
void add_multiple(const double* __restrict from, double factor, double* __restrict to, int count) {
  for (int i = 0; i < count; ++i) to[i] += factor * from[i];
}

}  // namespace

std::vector<std::pair<int, int>> DenseInverse::invert(const SparseColumns& columns) {
  rows_ = columns.count();
  const auto cells = static_cast<std::size_t>(rows_) * static_cast<std::size_t>(rows_);
  inverse_.assign(cells, 0.0);
  for (int r = 0; r < rows_; ++r) of_row(r)[r] = 1;
  // From the unit matrix: each column takes the place of the unit column on its pivot's row. Short ones first, for then
  // most of the inverse is still zero.
  std::vector<int> order(rows_), place(rows_, -1), column_at(rows_, -1), left_over;
  std::iota(order.begin(), order.end(), 0);
  const auto entries = [&](int c) { return columns.start[c + 1] - columns.start[c]; };
  std::stable_sort(order.begin(), order.end(), [&](int a, int b) { return entries(a) < entries(b); });
  std::vector<double> alpha;
  for (int c : order) {
    alpha.assign(rows_, 0.0);
    for (int e = columns.start[c]; e < columns.start[c + 1]; ++e)
      add_multiple(of_row(columns.row[e]), columns.value[e], alpha.data(), rows_);
    int pivot = -1;
    for (int r = 0; r < rows_; ++r)
      if (column_at[r] < 0 && (pivot < 0 || std::abs(alpha[r]) > std::abs(alpha[pivot]))) pivot = r;
    if (std::abs(alpha[pivot]) < kSingular) {
      left_over.push_back(c);
      continue;
    }
    exchange(pivot, alpha);
    column_at[pivot] = c;
    place[c] = pivot;
  }
  std::vector<std::pair<int, int>> left_out;
  int row = 0;
  for (int c : left_over) {
    while (column_at[row] >= 0) ++row;
    column_at[row] = c;
    place[c] = row;
    left_out.push_back({c, row});
  }
  work_.resize(rows_);
  for (int r = 0; r < rows_; ++r) {
    for (int c = 0; c < rows_; ++c) work_[c] = of_row(r)[place[c]];
    std::copy(work_.begin(), work_.end(), of_row(r));
  }
  return left_out;
}

void DenseInverse::stand_in(int column, double value) {
  for (int r = 0; r < rows_; ++r) of_row(r)[column] /= value;
}

void DenseInverse::forward(std::vector<double>& v) const {
  work_.assign(rows_, 0.0);
  for (int r = 0; r < rows_; ++r)
    if (v[r] != 0) add_multiple(of_row(r), v[r], work_.data(), rows_);
  v.swap(work_);
}

void DenseInverse::backward(std::vector<double>& v) const {
  work_.assign(rows_, 0.0);
  for (int c = 0; c < rows_; ++c) {
    const double t = v[c];
    if (t == 0) continue;
    for (int r = 0; r < rows_; ++r) work_[r] += t * of_row(r)[c];
  }
  v.swap(work_);
}

void DenseInverse::exchange(int position, const std::vector<double>& alpha) {
  const double pivot = alpha[position];
  for (int r = 0; r < rows_; ++r) {
    double* row = of_row(r);
    if (row[position] == 0) continue;
    const double t = row[position] / pivot;
    add_multiple(alpha.data(), -t, row, rows_);
    row[position] = t;
  }
}

}  // namespace garthwright::cutting
