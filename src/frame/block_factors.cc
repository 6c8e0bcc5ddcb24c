// SPDX-License-Identifier: Apache-2.0
#include "frame/block_factors.h"

#include <Eigen/OrderingMethods>
#include <Eigen/Sparse>
#include <algorithm>
#include <cmath>
#include <cstring>

#include "base/patience.h"

namespace garthwright::frame {
namespace {

/// Two numbers that the processor takes at once: the same sums in the same order as one by one.
typedef double Two __attribute__((vector_size(16), aligned(16), may_alias));

typedef double Four __attribute__((vector_size(32), aligned(8), may_alias));
typedef long long Order __attribute__((vector_size(32)));

/// into[where[rows[q]]] -= a[q] bᵀ for n blocks a, two columns at a time. Every number is summed in the same order
/// whatever the processor, and nothing is fused: the same bytes come of it.
__attribute__((target_clones("avx2", "default"))) void take_products(double* into, const std::size_t* where,
                                                                     const int* rows, const double* a, const double* b,
                                                                     std::size_t n) {
  Four factors[3][6][3];
  for (int pair = 0; pair < 3; ++pair)
    for (int k = 0; k < 6; ++k) {
      const double first = b[6 * k + 2 * pair], second = b[6 * k + 2 * pair + 1];
      factors[pair][k][0] = Four{first, first, first, first};
      factors[pair][k][1] = Four{first, first, second, second};
      factors[pair][k][2] = Four{second, second, second, second};
    }
  for (std::size_t q = 0; q < n; ++q, a += 36) {
    double* c = into + 36 * where[rows[q]];
    Four column[6][3];
    for (int k = 0; k < 6; ++k) {
      column[k][0] = *reinterpret_cast<const Four*>(a + 6 * k);
      column[k][2] = *reinterpret_cast<const Four*>(a + 6 * k + 2);
      column[k][1] = __builtin_shuffle(column[k][2], column[k][0], Order{2, 3, 4, 5});
    }
    for (int pair = 0; pair < 3; ++pair, c += 12) {
      Four* to = reinterpret_cast<Four*>(c);
      Four top = to[0], middle = to[1], bottom = to[2];
      for (int k = 0; k < 6; ++k) {
        top -= column[k][0] * factors[pair][k][0];
        middle -= column[k][1] * factors[pair][k][1];
        bottom -= column[k][2] * factors[pair][k][2];
      }
      to[0] = top, to[1] = middle, to[2] = bottom;
    }
  }
}

/// x becomes x l⁻ᵀ, l being lower triangular.
void over_triangle(Block& x, const Block& l) {
  auto* column = reinterpret_cast<Two*>(x.data());
  for (int c = 0; c < 6; ++c) {
    Two top = column[3 * c], middle = column[3 * c + 1], bottom = column[3 * c + 2];
    for (int i = 0; i < c; ++i) {
      const Two both = {l(c, i), l(c, i)};
      top -= column[3 * i] * both;
      middle -= column[3 * i + 1] * both;
      bottom -= column[3 * i + 2] * both;
    }
    const Two part = {1 / l(c, c), 1 / l(c, c)};
    column[3 * c] = top * part, column[3 * c + 1] = middle * part, column[3 * c + 2] = bottom * part;
  }
}

}  // namespace

BlockFactors::BlockFactors(int nodes, const std::vector<std::array<std::size_t, 2>>& pairs) {
  using Pattern = Eigen::SparseMatrix<double, Eigen::ColMajor, int>;
  std::vector<Eigen::Triplet<double>> both;
  for (int n = 0; n < nodes; ++n) both.emplace_back(n, n, 1);
  for (const auto& [a, b] : pairs) {
    both.emplace_back(static_cast<int>(a), static_cast<int>(b), 1);
    both.emplace_back(static_cast<int>(b), static_cast<int>(a), 1);
  }
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
  std::memcpy(factors_[from].data(), values_[from].data(), (to - from) * sizeof(Block));
  for (std::size_t p = from; p < to; ++p) where_[rows_[p]] = p;
  for (const auto& [k, p] : before_[j]) {
    take_products(factors_[0].data(), where_.data(), rows_.data() + p, factors_[p].data(), factors_[p].data(),
                  start_[k + 1] - p);
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
  for (std::size_t p = from + 1; p < to; ++p) over_triangle(factors_[p], l);
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
  using Six = Eigen::Matrix<double, 6, 1>;
  const int nodes = static_cast<int>(order_.size());
  Eigen::VectorXd y(x.size());
  for (int j = 0; j < nodes; ++j) y.segment<6>(6 * j) = x.segment<6>(6 * order_[j]);
  for (int j = 0; j < nodes; ++j) {
    const Block& l = factors_[start_[j]];
    Six own = y.segment<6>(6 * j);
    for (int c = 0; c < 6; ++c) {
      own[c] /= l(c, c);
      for (int r = c + 1; r < 6; ++r) own[r] -= l(r, c) * own[c];
    }
    y.segment<6>(6 * j) = own;
    for (std::size_t p = start_[j] + 1; p < start_[j + 1]; ++p)
      for (int c = 0; c < 6; ++c) y.segment<6>(6 * rows_[p]) -= own[c] * factors_[p].col(c);
  }
  for (int j = nodes; j-- > 0;) {
    const Block& l = factors_[start_[j]];
    Six own = y.segment<6>(6 * j);
    for (std::size_t p = start_[j] + 1; p < start_[j + 1]; ++p) {
      const Six below = y.segment<6>(6 * rows_[p]);
      for (int c = 0; c < 6; ++c) own[c] -= factors_[p].col(c).dot(below);
    }
    for (int c = 6; c-- > 0;) {
      for (int r = c + 1; r < 6; ++r) own[c] -= l(r, c) * own[r];
      own[c] /= l(c, c);
    }
    y.segment<6>(6 * j) = own;
  }
  for (int j = 0; j < nodes; ++j) x.segment<6>(6 * order_[j]) = y.segment<6>(6 * j);
}

}  // namespace garthwright::frame
