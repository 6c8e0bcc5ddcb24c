// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <Eigen/Sparse>
#include <vector>

#include "frame/block_factors.h"
#include "frame/element.h"

/// From members to one system of equations, and its factors. Used by the solver and by the stability analysis.
namespace garthwright::frame {

using Sparse = Eigen::SparseMatrix<double>;

/// Where each way of moving of each node stands in the equations; -1 where the ground holds it.
struct Unknowns {
  std::vector<std::array<int, 6>> of_node;
  int count = 0;
};

/// A direction about which everything at a node is pinned, so that the node itself has no stiffness against turning.
/// Nothing hangs on how it turns, so it is held lightly, unless a moment is put on it.
struct LooseTurn {
  NodeIndex node = 0;
  Eigen::Vector3d axis;
};

Unknowns number_unknowns(const Frame& frame);
std::vector<Axes> axes_of_members(const Frame& frame);
std::vector<Element> elements_of(const Frame& frame, const std::vector<Axes>& axes);

/// How far the second node's body moves from the first's in one direction at one point: `b` times the motions of both.
struct Row {
  std::array<NodeIndex, 2> nodes{};
  Vector12 b = Vector12::Zero();
};
Row row_between(const Frame& frame, const std::array<NodeIndex, 2>& nodes, const Vec3& at,
                const Eigen::Vector3d& direction);
/// Of a link: along it and twice across, each with its stiffness; of a contact: along its normal.
std::array<std::pair<Row, double>, 3> rows_of(const Frame& frame, const Link& link);
Row row_of(const Frame& frame, const Contact& contact);

/// Where the ways of moving of two nodes stand in the equations.
std::array<int, 12> places(const Unknowns& unknowns, const std::array<NodeIndex, 2>& nodes);

/// A symmetric matrix in blocks of six, one for each node and for each pair of nodes that something ties: what members,
/// links, contacts and supports are summed in.
class Stiffness {
 public:
  explicit Stiffness(const Frame& frame);

  /// The members' matrices (local axes), `local[m]` being that of member m.
  void add_members(const Frame& frame, const std::vector<Axes>& axes, const std::vector<Matrix12>& local);
  void add_links(const Frame& frame);
  /// Supports that give.
  void add_supports(const Frame& frame);
  void add(const Row& row, double stiffness);

  Block& own(NodeIndex node) { return blocks_[node]; }
  const Block& own(NodeIndex node) const { return blocks_[node]; }

  /// Over the ways that are free.
  Sparse over(const Unknowns& unknowns) const;

  /// The pairs in order, the lower node first, and the block of rows of the higher node and columns of the lower one.
  const std::vector<std::array<NodeIndex, 2>>& pairs() const { return pairs_; }
  const Block& between(std::size_t pair) const { return blocks_[nodes_ + pair]; }

 private:
  Block& between(NodeIndex low, NodeIndex high);
  std::size_t nodes_;
  std::vector<std::array<NodeIndex, 2>> pairs_;
  std::vector<std::size_t> first_;  ///< of each node as the lower one, in pairs_
  Blocks blocks_;                   ///< of the nodes, then of the pairs
};

/// Finds the loose turns and adds to `k` (and to `also`) what holds them.
std::vector<LooseTurn> hold_loose_turns(const Frame& frame, const Unknowns& unknowns, const std::vector<Axes>& axes,
                                        Stiffness& k, Stiffness* also = nullptr);

/// LDLᵀ of the matrix scaled to a unit diagonal, so that a pivot says what part of a way of moving's own stiffness is
/// left when all before it are free.
class Factors {
 public:
  /// `hold` stiffens every way of moving by that part of its own stiffness (or a bare way by that much).
  /// False where a pivot is exactly zero.
  bool compute(const Sparse& k, double hold = 0);
  Eigen::VectorXd solve(const Eigen::VectorXd& rhs) const;
  Eigen::VectorXd pivots() const { return ldlt_.vectorD(); }

  /// The motion that belongs to pivot `at`: its strain energy is what the pivot says, and nothing later moves.
  Eigen::VectorXd motion_of_pivot(Eigen::Index at) const;

 private:
  Eigen::VectorXd scale_;
  Eigen::SimplicialLDLT<Sparse> ldlt_;
};

}  // namespace garthwright::frame
