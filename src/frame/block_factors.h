// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <Eigen/Dense>
#include <array>
#include <utility>
#include <vector>

/// Cholesky factors of a symmetric matrix made of 6 × 6 blocks, one to a node, that changes here and there.
namespace garthwright::frame {

using Block = Eigen::Matrix<double, 6, 6>;
using Blocks = std::vector<Block, Eigen::aligned_allocator<Block>>;

/// Columns are ordered by least degree (Amestoy, Davis & Duff, SIAM J. Matrix Anal. Appl. 17, 1996): what is long and
/// narrow, a row of rafters on their beams, is then taken from its ends inwards, at a sixth of the work of cutting it
/// in two again and again. The pattern is fixed; values may change. After a change only the columns that it reaches,
/// those above it in the elimination tree, are computed anew: the very numbers that a whole factorisation gives. George
/// & Liu, Computer Solution of Large Sparse Positive Definite Systems, 1981, ch. 5 (left-looking); Davis & Hager, SIAM
/// J. Matrix Anal. Appl. 26, 2005 (what a changed row reaches).
class BlockFactors {
 public:
  /// `pairs`: blocks that may differ from zero beside the diagonal.
  BlockFactors(std::size_t nodes, const std::vector<std::array<std::size_t, 2>>& pairs);

  /// The block of nodes (row, column), to be written to; transposed where `flipped`.
  struct Place {
    std::size_t at = 0;
    int column = 0;  ///< of the factors: to be named in factorise() when the block was changed
    bool flipped = false;
  };
  Place place(int row, int column) const;
  int column_of(int node) const { return rank_[node]; }
  Block& block(const Place& place) { return values_[place.at]; }
  Block& value(std::size_t at) { return values_[at]; }

  /// All columns, or those that changes in some columns reach. A pivot below `least` is taken for that: the matrix is
  /// at least that stiff by construction, less round-off.
  void factorise(double least);
  void factorise(double least, const std::vector<int>& changed);
  /// In place; six values to a column.
  void solve(Eigen::VectorXd& x) const;

 private:
  void column(int j, double least);
  std::vector<int> rank_;                                         ///< column of a node
  std::vector<std::size_t> start_;                                ///< of each column in rows_, values_ and factors_
  std::vector<int> rows_;                                         ///< of the blocks, the diagonal first, then ascending
  std::vector<int> parent_;                                       ///< elimination tree
  std::vector<std::vector<std::pair<int, std::size_t>>> before_;  ///< columns that reach into a column, and from where
  Blocks values_, factors_;
  std::vector<std::size_t> where_;  ///< scratch: place of a row in the column at hand
  std::vector<char> reached_;
};

}  // namespace garthwright::frame
