// SPDX-License-Identifier: Apache-2.0
#include "cutting/basis_factor.h"

#include <algorithm>
#include <cmath>

namespace garthwright::cutting {
namespace {

constexpr double kNothing = 1e-14;  // smaller entries are rounding
constexpr double kSingular = 1e-9;  // no pivot is smaller
constexpr double kThreshold = 0.1;  // of the largest entry: growth stays small, sparse rows can be chosen
constexpr int kMostExchanges = 100;
constexpr int kMostDense = 32;  // rows; with more, sparse factors are quicker

}  // namespace

void BasisFactor::add_pivot(int row, int column, double value) {
  if (static_cast<int>(lower_row_.size()) > lower_start_.back())
    steps_below_.push_back(static_cast<int>(pivot_.size()));
  pivot_row_.push_back(row);
  pivot_column_.push_back(column);
  pivot_.push_back(value);
  lower_start_.push_back(static_cast<int>(lower_row_.size()));
  upper_start_.push_back(static_cast<int>(upper_row_.size()));
}

std::vector<std::pair<int, int>> BasisFactor::begin(const Columns& columns) {
  rows_ = columns.count();
  exchanges_ = 0;
  dense_ = rows_ <= kMostDense;
  return dense_ ? inverse_.invert(columns) : eliminate(columns);
}

std::vector<std::pair<int, int>> BasisFactor::eliminate(const Columns& columns) {
  const int n = columns.count();
  pivot_row_.clear();
  pivot_column_.clear();
  pivot_.clear();
  lower_start_.assign(1, 0);
  upper_start_.assign(1, 0);
  for (auto* list : {&lower_row_, &upper_row_, &steps_below_, &exchanged_, &other_row_}) list->clear();
  for (auto* list : {&lower_, &upper_, &exchanged_pivot_, &other_}) list->clear();
  other_start_.assign(1, 0);
  work_.assign(n, 0.0);

  // Which columns a row has; how many rows and columns are still without pivot.
  std::vector<int> in_row_start(n + 1, 0), in_row(columns.row.size()), row_count(n, 0), column_count(n, 0);
  for (int r : columns.row) ++in_row_start[r + 1];
  for (int r = 0; r < n; ++r) in_row_start[r + 1] += in_row_start[r];
  std::vector<int> at(in_row_start.begin(), in_row_start.end() - 1);
  for (int c = 0; c < n; ++c) {
    column_count[c] = columns.start[c + 1] - columns.start[c];
    for (int e = columns.start[c]; e < columns.start[c + 1]; ++e) in_row[at[columns.row[e]]++] = c;
  }
  for (int r = 0; r < n; ++r) row_count[r] = in_row_start[r + 1] - in_row_start[r];
  std::vector<int> step_of_row(n, -1);
  std::vector<char> column_done(n, 0);

  // Pivots on an entry that needs no elimination: what the column has in rows without pivot goes to `lower`.
  const auto take_as_it_stands = [&](int column, int row) {
    double value = 0;
    for (int e = columns.start[column]; e < columns.start[column + 1]; ++e)
      if (columns.row[e] == row) value = columns.value[e];
    if (std::abs(value) < kSingular) return false;
    for (int e = columns.start[column]; e < columns.start[column + 1]; ++e) {
      const int r = columns.row[e];
      if (r == row) continue;
      if (step_of_row[r] >= 0) {
        upper_row_.push_back(r);
        upper_.push_back(columns.value[e]);
      } else {
        lower_row_.push_back(r);
        lower_.push_back(columns.value[e] / value);
      }
      --row_count[r];
    }
    step_of_row[row] = static_cast<int>(pivot_.size());
    column_done[column] = 1;
    add_pivot(row, column, value);
    return true;
  };

  std::vector<int> queue;
  for (int c = 0; c < n; ++c)
    if (column_count[c] == 1) queue.push_back(c);
  for (std::size_t q = 0; q < queue.size(); ++q) {
    const int column = queue[q];
    int row = -1;
    for (int e = columns.start[column]; e < columns.start[column + 1]; ++e)
      if (step_of_row[columns.row[e]] < 0) row = columns.row[e];
    if (row < 0 || !take_as_it_stands(column, row)) continue;
    for (int k = in_row_start[row]; k < in_row_start[row + 1]; ++k)
      if (--column_count[in_row[k]] == 1 && !column_done[in_row[k]]) queue.push_back(in_row[k]);
  }
  queue.clear();
  for (int r = 0; r < n; ++r)
    if (row_count[r] == 1 && step_of_row[r] < 0) queue.push_back(r);
  for (std::size_t q = 0; q < queue.size(); ++q) {
    const int row = queue[q];
    if (step_of_row[row] >= 0) continue;
    int column = -1;
    for (int k = in_row_start[row]; k < in_row_start[row + 1]; ++k)
      if (!column_done[in_row[k]]) column = in_row[k];
    if (column < 0 || !take_as_it_stands(column, row)) continue;
    for (int e = columns.start[column]; e < columns.start[column + 1]; ++e) {
      const int r = columns.row[e];
      if (row_count[r] == 1 && step_of_row[r] < 0) queue.push_back(r);
    }
  }

  std::vector<int> rest;
  for (int c = 0; c < n; ++c)
    if (!column_done[c]) rest.push_back(c);
  std::stable_sort(rest.begin(), rest.end(), [&](int a, int b) { return column_count[a] < column_count[b]; });
  const auto first = static_cast<int>(pivot_.size());
  std::vector<int> touched, left_over;
  std::vector<char> is_touched(n, 0);
  for (int column : rest) {
    touched.clear();
    for (int e = columns.start[column]; e < columns.start[column + 1]; ++e) {
      work_[columns.row[e]] = columns.value[e];
      is_touched[columns.row[e]] = 1;
      touched.push_back(columns.row[e]);
      if (step_of_row[columns.row[e]] < 0) --row_count[columns.row[e]];
    }
    for (int step = first; step < static_cast<int>(pivot_.size()); ++step) {
      const double t = work_[pivot_row_[step]];
      if (t == 0) continue;
      for (int e = lower_start_[step]; e < lower_start_[step + 1]; ++e) {
        const int r = lower_row_[e];
        work_[r] -= t * lower_[e];
        if (is_touched[r]) continue;
        is_touched[r] = 1;
        touched.push_back(r);
      }
    }
    double most = 0;
    for (int r : touched)
      if (step_of_row[r] < 0) most = std::max(most, std::abs(work_[r]));
    int pivot = -1;
    if (most >= kSingular)
      for (int r : touched) {
        if (step_of_row[r] >= 0 || std::abs(work_[r]) < kThreshold * most) continue;
        const auto better = [&](int a, int b) {
          if (row_count[a] != row_count[b]) return row_count[a] < row_count[b];
          return std::abs(work_[a]) != std::abs(work_[b]) ? std::abs(work_[a]) > std::abs(work_[b]) : a < b;
        };
        if (pivot < 0 || better(r, pivot)) pivot = r;
      }
    const double value = pivot < 0 ? 0 : work_[pivot];
    if (pivot >= 0)
      for (int r : touched) {
        if (r == pivot || std::abs(work_[r]) < kNothing) continue;
        if (step_of_row[r] >= 0) {
          upper_row_.push_back(r);
          upper_.push_back(work_[r]);
        } else {
          lower_row_.push_back(r);
          lower_.push_back(work_[r] / value);
        }
      }
    for (int r : touched) {
      work_[r] = 0;
      is_touched[r] = 0;
    }
    if (pivot < 0) {
      left_over.push_back(column);
      continue;
    }
    step_of_row[pivot] = static_cast<int>(pivot_.size());
    add_pivot(pivot, column, value);
  }
  std::vector<std::pair<int, int>> left_out;
  int row = 0;
  for (int column : left_over) {
    while (step_of_row[row] >= 0) ++row;
    left_out.push_back({column, row++});
  }
  return left_out;
}

void BasisFactor::forward(std::vector<double>& v) const {
  if (dense_) return inverse_.forward(v);
  for (int step : steps_below_) {
    const double t = v[pivot_row_[step]];
    if (t == 0) continue;
    for (int e = lower_start_[step]; e < lower_start_[step + 1]; ++e) v[lower_row_[e]] -= t * lower_[e];
  }
  work_.resize(v.size());
  for (std::size_t step = pivot_.size(); step-- > 0;) {
    double t = v[pivot_row_[step]];
    if (t != 0) {
      t /= pivot_[step];
      for (int e = upper_start_[step]; e < upper_start_[step + 1]; ++e) v[upper_row_[e]] -= t * upper_[e];
    }
    work_[pivot_column_[step]] = t;
  }
  v.swap(work_);
  for (std::size_t k = 0; k < exchanged_.size(); ++k) {
    double& at = v[exchanged_[k]];
    if (at == 0) continue;
    at /= exchanged_pivot_[k];
    const double t = at;
    for (int e = other_start_[k]; e < other_start_[k + 1]; ++e) v[other_row_[e]] -= t * other_[e];
  }
}

void BasisFactor::backward(std::vector<double>& v) const {
  if (dense_) return inverse_.backward(v);
  for (std::size_t k = exchanged_.size(); k-- > 0;) {
    double t = v[exchanged_[k]];
    for (int e = other_start_[k]; e < other_start_[k + 1]; ++e) t -= v[other_row_[e]] * other_[e];
    v[exchanged_[k]] = t / exchanged_pivot_[k];
  }
  work_.resize(v.size());
  for (std::size_t step = 0; step < pivot_.size(); ++step) {
    double t = v[pivot_column_[step]];
    for (int e = upper_start_[step]; e < upper_start_[step + 1]; ++e) t -= work_[upper_row_[e]] * upper_[e];
    work_[pivot_row_[step]] = t / pivot_[step];
  }
  v.swap(work_);
  for (std::size_t k = steps_below_.size(); k-- > 0;) {
    const int step = steps_below_[k];
    double t = v[pivot_row_[step]];
    for (int e = lower_start_[step]; e < lower_start_[step + 1]; ++e) t -= v[lower_row_[e]] * lower_[e];
    v[pivot_row_[step]] = t;
  }
}

void BasisFactor::exchange(int position, const std::vector<double>& alpha) {
  ++exchanges_;
  if (dense_) return inverse_.exchange(position, alpha);
  for (int i = 0; i < static_cast<int>(alpha.size()); ++i) {
    if (i == position || std::abs(alpha[i]) < kNothing) continue;
    other_row_.push_back(i);
    other_.push_back(alpha[i]);
  }
  other_start_.push_back(static_cast<int>(other_row_.size()));
  exchanged_.push_back(position);
  exchanged_pivot_.push_back(alpha[position]);
}

bool BasisFactor::worn() const {
  if (exchanges_ >= kMostExchanges) return true;
  return !dense_ && other_.size() > 3 * (lower_.size() + upper_.size() + pivot_.size()) + 200;
}

}  // namespace garthwright::cutting
