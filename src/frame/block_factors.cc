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

constexpr int kSmall = 48;  // nodes: no longer cut in two
constexpr int kCuts = 9;    // planes that are tried, about the middle

class Dissection {
 public:
  Dissection(const std::vector<std::array<double, 3>>& at, const std::vector<std::vector<int>>& beside)
      : at_(at), beside_(beside), part_(at.size(), 0), local_(at.size(), -1) {
    std::vector<int> all(at.size());
    for (std::size_t n = 0; n < all.size(); ++n) all[n] = static_cast<int>(n);
    cut(std::move(all));
  }
  const std::vector<int>& order() const { return order_; }

 private:
  void cut(std::vector<int> nodes) {
    if (static_cast<int>(nodes.size()) <= kSmall) return by_degree(nodes);
    std::size_t axis = 0;
    double extent = -1;
    for (std::size_t k = 0; k < 3; ++k) {
      const auto [low, high] =
          std::minmax_element(nodes.begin(), nodes.end(), [&](int a, int b) { return at_[a][k] < at_[b][k]; });
      if (at_[*high][k] - at_[*low][k] > extent) extent = at_[*high][k] - at_[*low][k], axis = k;
    }
    std::sort(nodes.begin(), nodes.end(), [&](int a, int b) {
      return std::pair{at_[a][axis], a} < std::pair{at_[b][axis], b};
    });
    std::vector<int> before, after, between;
    for (int i = 0; i < kCuts; ++i) {
      const std::size_t first = nodes.size() * (kCuts + i) / (3 * kCuts - 1);  // from a third to two thirds
      const int mark = ++mark_;
      for (std::size_t n = 0; n < nodes.size(); ++n) part_[nodes[n]] = n < first ? mark : -mark;
      const auto touching = [&](int side) {
        std::vector<int> found;
        for (const int n : nodes)
          if (part_[n] == side &&
              std::any_of(beside_[n].begin(), beside_[n].end(), [&](int m) { return part_[m] == -side; }))
            found.push_back(n);
        return found;
      };
      for (const int side : {mark, -mark}) {
        std::vector<int> these = touching(side);
        if (i > 0 || side < 0)
          if (these.size() >= between.size()) continue;
        between = std::move(these);
        for (const int n : between) part_[n] = 0;
        before.clear(), after.clear();
        for (const int n : nodes)
          if (part_[n] != 0) (part_[n] == mark ? before : after).push_back(n);
        for (const int n : between) part_[n] = side;
      }
    }
    if (before.empty() || after.empty() || 3 * between.size() > nodes.size()) return by_degree(nodes);
    cut(std::move(before));
    cut(std::move(after));
    by_degree(between);
  }

  void by_degree(const std::vector<int>& nodes) {
    if (nodes.empty()) return;
    using Pattern = Eigen::SparseMatrix<double, Eigen::ColMajor, int>;
    std::vector<Eigen::Triplet<double>> both;
    for (std::size_t i = 0; i < nodes.size(); ++i) local_[nodes[i]] = static_cast<int>(i);
    for (std::size_t i = 0; i < nodes.size(); ++i) {
      both.emplace_back(static_cast<int>(i), static_cast<int>(i), 1);
      for (const int other : beside_[nodes[i]])
        if (local_[other] >= 0) both.emplace_back(static_cast<int>(i), local_[other], 1);
    }
    const auto n = static_cast<Eigen::Index>(nodes.size());
    Pattern pattern(n, n);
    pattern.setFromTriplets(both.begin(), both.end());
    Eigen::PermutationMatrix<Eigen::Dynamic, Eigen::Dynamic, int> permutation;
    Eigen::AMDOrdering<int>()(pattern, permutation);
    for (Eigen::Index i = 0; i < n; ++i) order_.push_back(nodes[permutation.indices()[i]]);
    for (const int node : nodes) local_[node] = -1;
  }

  const std::vector<std::array<double, 3>>& at_;
  const std::vector<std::vector<int>>& beside_;
  std::vector<int> order_, part_, local_;
  int mark_ = 0;
};

}  // namespace

BlockFactors::BlockFactors(const std::vector<std::array<double, 3>>& at,
                           const std::vector<std::array<std::size_t, 2>>& pairs) {
  const int nodes = static_cast<int>(at.size());
  std::vector<std::vector<int>> beside(nodes);
  for (const auto& [a, b] : pairs) {
    beside[a].push_back(static_cast<int>(b));
    beside[b].push_back(static_cast<int>(a));
  }
  order_ = Dissection(at, beside).order();
  rank_.resize(nodes);
  for (int column = 0; column < nodes; ++column) rank_[order_[column]] = column;
  // Rows of each column: its own and those that its children hand up.
  std::vector<std::vector<int>> below(nodes), children(nodes);
  parent_.assign(nodes, -1);
  for (int j = 0; j < nodes; ++j) {
    std::vector<int>& rows = below[j];
    for (const int other : beside[order_[j]])
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
