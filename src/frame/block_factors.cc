// SPDX-License-Identifier: Apache-2.0
#include "frame/block_factors.h"

#include <Eigen/OrderingMethods>
#include <Eigen/Sparse>
#include <algorithm>
#include <cmath>

#include "base/patience.h"

namespace garthwright::frame {

BlockFactors::BlockFactors(int nodes, const std::vector<std::pair<int, int>>& pairs) {
  using Pattern = Eigen::SparseMatrix<double, Eigen::ColMajor, int>;
  std::vector<Eigen::Triplet<double>> both;
  for (int n = 0; n < nodes; ++n) both.emplace_back(n, n, 1);
  for (const auto& [a, b] : pairs) both.emplace_back(a, b, 1), both.emplace_back(b, a, 1);
  Pattern pattern(nodes, nodes);
  pattern.setFromTriplets(both.begin(), both.end());
  Eigen::PermutationMatrix<Eigen::Dynamic, Eigen::Dynamic, int> permutation;
  Eigen::AMDOrdering<int>()(pattern, permutation);
  order_.resize(nodes), rank_.resize(nodes);
  for (int column = 0; column < nodes; ++column) {
    order_[column] = permutation.indices()[column];
    rank_[order_[column]] = column;
  }
  // Rows of each column: its own and those that its children hand up.
  std::vector<std::vector<int>> below(nodes), children(nodes);
  parent_.assign(nodes, -1);
  for (int j = 0; j < nodes; ++j) {
    std::vector<int>& rows = below[j];
    for (Pattern::InnerIterator it(pattern, order_[j]); it; ++it)
      if (rank_[it.row()] > j) rows.push_back(rank_[it.row()]);
    for (const int child : children[j])
      for (const int row : below[child])
        if (row > j) rows.push_back(row);
    std::sort(rows.begin(), rows.end());
    rows.erase(std::unique(rows.begin(), rows.end()), rows.end());
    if (!rows.empty()) parent_[j] = rows.front(), children[rows.front()].push_back(j);
  }
  before_.resize(nodes);
  start_.push_back(0);
  for (int j = 0; j < nodes; ++j) {
    rows_.push_back(j);
    for (const int row : below[j]) {
      before_[row].emplace_back(j, rows_.size());
      rows_.push_back(row);
    }
    start_.push_back(rows_.size());
  }
  values_.assign(rows_.size(), Block::Zero());
  factors_ = values_;
  where_.assign(nodes, 0);
  reached_.assign(nodes, 0);
}

BlockFactors::Place BlockFactors::place(int row, int column) const {
  int i = rank_[row], j = rank_[column];
  const bool flipped = i < j;
  if (flipped) std::swap(i, j);
  const auto begin = rows_.begin() + static_cast<std::ptrdiff_t>(start_[j]),
             end = rows_.begin() + static_cast<std::ptrdiff_t>(start_[j + 1]);
  return {static_cast<std::size_t>(std::lower_bound(begin, end, i) - rows_.begin()), j, flipped};
}

void BlockFactors::column(int j, double least) {
  look_at_the_clock();
  const std::size_t from = start_[j], to = start_[j + 1];
  for (std::size_t p = from; p < to; ++p) factors_[p] = values_[p], where_[rows_[p]] = p;
  for (const auto& [k, p] : before_[j]) {
    const Block across = factors_[p].transpose();
    for (std::size_t q = p; q < start_[k + 1]; ++q) factors_[where_[rows_[q]]].noalias() -= factors_[q] * across;
  }
  Block& l = factors_[from];
  for (int c = 0; c < 6; ++c) {
    double pivot = l(c, c);
    for (int i = 0; i < c; ++i) pivot -= l(c, i) * l(c, i);
    l(c, c) = std::sqrt(std::max(pivot, least));
    for (int r = c + 1; r < 6; ++r) {
      double sum = l(r, c);
      for (int i = 0; i < c; ++i) sum -= l(r, i) * l(c, i);
      l(r, c) = sum / l(c, c);
      l(c, r) = 0;
    }
  }
  for (std::size_t p = from + 1; p < to; ++p)
    for (int c = 0; c < 6; ++c) {
      for (int i = 0; i < c; ++i) factors_[p].col(c) -= l(c, i) * factors_[p].col(i);
      factors_[p].col(c) /= l(c, c);
    }
}

void BlockFactors::factorise(double least) {
  for (int j = 0; j < static_cast<int>(order_.size()); ++j) column(j, least);
}

void BlockFactors::factorise(double least, const std::vector<int>& changed) {
  std::vector<int> again;
  for (int j : changed)
    for (; j >= 0 && !reached_[j]; j = parent_[j]) reached_[j] = 1, again.push_back(j);
  std::sort(again.begin(), again.end());
  for (const int j : again) column(j, least), reached_[j] = 0;
}

void BlockFactors::solve(Eigen::VectorXd& x) const {
  const int nodes = static_cast<int>(order_.size());
  Eigen::VectorXd y(x.size());
  for (int j = 0; j < nodes; ++j) y.segment<6>(6 * j) = x.segment<6>(6 * order_[j]);
  for (int j = 0; j < nodes; ++j) {
    Eigen::Matrix<double, 6, 1> own = y.segment<6>(6 * j);
    factors_[start_[j]].triangularView<Eigen::Lower>().solveInPlace(own);
    y.segment<6>(6 * j) = own;
    for (std::size_t p = start_[j] + 1; p < start_[j + 1]; ++p)
      y.segment<6>(6 * rows_[p]).noalias() -= factors_[p] * own;
  }
  for (int j = nodes; j-- > 0;) {
    Eigen::Matrix<double, 6, 1> own = y.segment<6>(6 * j);
    for (std::size_t p = start_[j] + 1; p < start_[j + 1]; ++p)
      own.noalias() -= factors_[p].transpose() * y.segment<6>(6 * rows_[p]);
    factors_[start_[j]].transpose().triangularView<Eigen::Upper>().solveInPlace(own);
    y.segment<6>(6 * j) = own;
  }
  for (int j = 0; j < nodes; ++j) x.segment<6>(6 * order_[j]) = y.segment<6>(6 * j);
}

}  // namespace garthwright::frame
