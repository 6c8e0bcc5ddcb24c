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

// Four numbers, and two, that the processor takes at once. Every number is summed in the same order whatever the
// processor, and nothing is fused: the same bytes come of it. A block's columns are taken in pairs, as three fours: the
// first column's upper four rows; its lower two with the second's upper two; the second's lower four.
typedef double Two __attribute__((vector_size(16), aligned(8), may_alias));
typedef double Four __attribute__((vector_size(32), aligned(8), may_alias));
#if defined(__SANITIZE_THREAD__)
#define GARTHWRIGHT_WIDE  // the sanitizer would run where a clone is chosen, before it has begun
#else
#define GARTHWRIGHT_WIDE __attribute__((target_clones("avx2", "default")))
#endif

const Four* fours(const double* at) { return reinterpret_cast<const Four*>(at); }
Four* fours(double* at) { return reinterpret_cast<Four*>(at); }

/// into[where[rows[q]]] -= a[q] bᵀ for n blocks a.
GARTHWRIGHT_WIDE void take_products(double* into, const std::size_t* where, const int* rows, const double* a,
                                    const double* b, std::size_t n) {
  Four factors[6][9];
  for (int k = 0; k < 6; ++k)
    for (int pair = 0; pair < 3; ++pair) {
      const double first = b[6 * k + 2 * pair], second = b[6 * k + 2 * pair + 1];
      factors[k][3 * pair] = Four{first, first, first, first};
      factors[k][3 * pair + 1] = Four{first, first, second, second};
      factors[k][3 * pair + 2] = Four{second, second, second, second};
    }
  for (std::size_t q = 0; q < n; ++q, a += 36) {
    Four* to = fours(into + 36 * where[rows[q]]);
    Four t0 = to[0], m0 = to[1], l0 = to[2], t1 = to[3], m1 = to[4], l1 = to[5], t2 = to[6], m2 = to[7], l2 = to[8];
    for (int k = 0; k < 6; ++k) {
      const Four top = *fours(a + 6 * k), low = *fours(a + 6 * k + 2);
      const Four middle = __builtin_shufflevector(low, top, 2, 3, 4, 5);
      const Four* f = factors[k];
      t0 -= top * f[0], m0 -= middle * f[1], l0 -= low * f[2];
      t1 -= top * f[3], m1 -= middle * f[4], l1 -= low * f[5];
      t2 -= top * f[6], m2 -= middle * f[7], l2 -= low * f[8];
    }
    to[0] = t0, to[1] = m0, to[2] = l0, to[3] = t1, to[4] = m1, to[5] = l1, to[6] = t2, to[7] = m2, to[8] = l2;
  }
}

/// x becomes x l⁻ᵀ for n blocks x, l being lower triangular.
GARTHWRIGHT_WIDE void over_triangle(double* x, const double* l, std::size_t n) {
  double part[6];
  for (int c = 0; c < 6; ++c) part[c] = 1 / l[7 * c];
  for (std::size_t q = 0; q < n; ++q, x += 36)
    for (int c = 0; c < 6; ++c) {
      Four top = *fours(x + 6 * c);
      Two bottom = *reinterpret_cast<Two*>(x + 6 * c + 4);
      for (int i = 0; i < c; ++i) {
        top -= *fours(x + 6 * i) * l[6 * i + c];
        bottom -= *reinterpret_cast<Two*>(x + 6 * i + 4) * l[6 * i + c];
      }
      *fours(x + 6 * c) = top * part[c];
      *reinterpret_cast<Two*>(x + 6 * c + 4) = bottom * part[c];
    }
}

/// y[rows[q]] -= l[q] own for n blocks l.
GARTHWRIGHT_WIDE void push_down(double* y, const int* rows, const double* l, const double* own, std::size_t n) {
  const Four a0 = {own[0], own[0], own[0], own[0]}, a1 = {own[0], own[0], own[1], own[1]},
             a2 = {own[1], own[1], own[1], own[1]}, b0 = {own[2], own[2], own[2], own[2]},
             b1 = {own[2], own[2], own[3], own[3]}, b2 = {own[3], own[3], own[3], own[3]},
             c0 = {own[4], own[4], own[4], own[4]}, c1 = {own[4], own[4], own[5], own[5]},
             c2 = {own[5], own[5], own[5], own[5]};
  for (std::size_t q = 0; q < n; ++q, l += 36) {
    const Four* f = fours(l);
    const Four top = f[0] * a0 + f[3] * b0 + f[6] * c0, middle = f[1] * a1 + f[4] * b1 + f[7] * c1,
               low = f[2] * a2 + f[5] * b2 + f[8] * c2;
    double* to = y + 6 * rows[q];
    Two* pairs = reinterpret_cast<Two*>(to);
    pairs[0] -= __builtin_shufflevector(top, top, 0, 1) + __builtin_shufflevector(middle, middle, 2, 3);
    pairs[1] -= __builtin_shufflevector(top, top, 2, 3) + __builtin_shufflevector(low, low, 0, 1);
    pairs[2] -= __builtin_shufflevector(middle, middle, 0, 1) + __builtin_shufflevector(low, low, 2, 3);
  }
}

/// own -= Σ l[q]ᵀ y[rows[q]] over n blocks l.
GARTHWRIGHT_WIDE void pull_up(const double* y, const int* rows, const double* l, double* own, std::size_t n) {
  Four a0{}, a1{}, a2{}, b0{}, b1{}, b2{}, c0{}, c1{}, c2{};
  for (std::size_t q = 0; q < n; ++q, l += 36) {
    const double* from = y + 6 * rows[q];
    const Four top = *fours(from), low = *fours(from + 2), middle = __builtin_shufflevector(low, top, 2, 3, 4, 5);
    const Four* f = fours(l);
    a0 += f[0] * top, a1 += f[1] * middle, a2 += f[2] * low;
    b0 += f[3] * top, b1 += f[4] * middle, b2 += f[5] * low;
    c0 += f[6] * top, c1 += f[7] * middle, c2 += f[8] * low;
  }
  own[0] -= (a0[0] + a0[1]) + (a0[2] + a0[3]) + (a1[0] + a1[1]);
  own[1] -= (a2[0] + a2[1]) + (a2[2] + a2[3]) + (a1[2] + a1[3]);
  own[2] -= (b0[0] + b0[1]) + (b0[2] + b0[3]) + (b1[0] + b1[1]);
  own[3] -= (b2[0] + b2[1]) + (b2[2] + b2[3]) + (b1[2] + b1[3]);
  own[4] -= (c0[0] + c0[1]) + (c0[2] + c0[3]) + (c1[0] + c1[1]);
  own[5] -= (c2[0] + c2[1]) + (c2[2] + c2[3]) + (c1[2] + c1[3]);
}

#undef GARTHWRIGHT_WIDE

/// Which node each column is of: always the one that then ties the fewest others together.
std::vector<int> by_degree(const std::vector<std::vector<int>>& beside) {
  using Pattern = Eigen::SparseMatrix<double, Eigen::ColMajor, int>;
  std::vector<Eigen::Triplet<double>> both;
  for (std::size_t i = 0; i < beside.size(); ++i) {
    both.emplace_back(static_cast<int>(i), static_cast<int>(i), 1);
    for (const int other : beside[i]) both.emplace_back(static_cast<int>(i), other, 1);
  }
  const auto n = static_cast<Eigen::Index>(beside.size());
  Pattern pattern(n, n);
  pattern.setFromTriplets(both.begin(), both.end());
  Eigen::PermutationMatrix<Eigen::Dynamic, Eigen::Dynamic, int> permutation;
  Eigen::AMDOrdering<int>()(pattern, permutation);
  return {permutation.indices().begin(), permutation.indices().end()};
}

}  // namespace

BlockFactors::BlockFactors(std::size_t count, const std::vector<std::array<std::size_t, 2>>& pairs) {
  const int nodes = static_cast<int>(count);
  std::vector<std::vector<int>> beside(nodes);
  for (const auto& [a, b] : pairs) {
    beside[a].push_back(static_cast<int>(b));
    beside[b].push_back(static_cast<int>(a));
  }
  const std::vector<int> order = by_degree(beside);
  rank_.resize(nodes);
  for (int column = 0; column < nodes; ++column) rank_[order[column]] = column;
  // Rows of each column: its own and those that its children hand up.
  std::vector<std::vector<int>> below(nodes), children(nodes);
  parent_.assign(nodes, -1);
  for (int j = 0; j < nodes; ++j) {
    std::vector<int>& rows = below[j];
    for (const int other : beside[order[j]])
      if (rank_[other] > j) rows.push_back(rank_[other]);
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
  over_triangle(factors_[from].data() + 36, l.data(), to - from - 1);
}

void BlockFactors::factorise(double least) {
  for (int j = 0; j < static_cast<int>(rank_.size()); ++j) column(j, least);
}

void BlockFactors::factorise(double least, const std::vector<int>& changed) {
  std::vector<int> again;
  for (int j : changed)
    for (; j >= 0 && !reached_[j]; j = parent_[j]) reached_[j] = 1, again.push_back(j);
  std::sort(again.begin(), again.end());
  for (const int j : again) column(j, least), reached_[j] = 0;
}

void BlockFactors::solve(Eigen::VectorXd& y) const {
  const int nodes = static_cast<int>(rank_.size());
  for (int j = 0; j < nodes; ++j) {
    const std::size_t from = start_[j];
    const Block& l = factors_[from];
    double* own = y.data() + 6 * j;
    for (int c = 0; c < 6; ++c) {
      own[c] /= l(c, c);
      for (int r = c + 1; r < 6; ++r) own[r] -= l(r, c) * own[c];
    }
    push_down(y.data(), rows_.data() + from + 1, l.data() + 36, own, start_[j + 1] - from - 1);
  }
  for (int j = nodes; j-- > 0;) {
    const std::size_t from = start_[j];
    const Block& l = factors_[from];
    double* own = y.data() + 6 * j;
    pull_up(y.data(), rows_.data() + from + 1, l.data() + 36, own, start_[j + 1] - from - 1);
    for (int c = 6; c-- > 0;) {
      for (int r = c + 1; r < 6; ++r) own[c] -= l(r, c) * own[r];
      own[c] /= l(c, c);
    }
  }
}

}  // namespace garthwright::frame
