// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <vector>

#include "frame/block_factors.h"
#include "frame/solver_parts.h"

/// Which contacts of a frame push, and the frame's motion with them.
namespace garthwright::frame {

/// Minimises the energy ½ xᵀK x - fᵀx + Σ ½ k max(0, -gap - b·x)², K being the frame without its contacts, and the last
/// term going on with less curve where a contact is crushed: convex, quadratic in pieces, smooth in its first
/// derivative. Each step is Newton's with the contacts as they are now, open, closed or crushed, and goes to the least
/// energy along its line. What nothing holds when contacts open makes K singular: a part kDamping of every way of
/// moving's stiffness is added to the step's matrix only, never to the energy, so that the rest it comes to owes
/// nothing to it; and a step along which the energy falls for ever is a part that comes off, as is one that would come
/// to rest only farther off than the frame is long.
class Pressing {
 public:
  explicit Pressing(const Solver::Parts& parts);

  struct Found {
    Eigen::VectorXd x;
    int steps = 0;
    bool settled = false;
    std::optional<Eigen::VectorXd> comes_off;  ///< the motion
  };
  /// Under the forces f on the unknowns, contacts being crushed at `crushing` times what they say. Begins with the
  /// contacts that the motions under the forces before would close, added up as those forces add up to f most nearly:
  /// where f is one of them but for its size and there are no gaps, that is the answer.
  Found find(const Eigen::VectorXd& f, double crushing);

  /// What motion a small rest of force makes at the state last found.
  Eigen::VectorXd correct(const Eigen::VectorXd& rest) const;

 private:
  // Inside, motions and forces stand six to a node in the order of the factors' columns, scaled so that every way of
  // moving's own stiffness is one; contacts' rows, gaps and overlaps by the root of their stiffness too, so that an
  // overlap is a push.
  using Six = Eigen::Matrix<double, 6, 1>;
  struct OverNodes {
    int first_at = 0, second_at = 0;  ///< where the two nodes stand
    Six first, second;
    double times(const Eigen::VectorXd& x) const {
      return first.dot(x.segment<6>(first_at)) + second.dot(x.segment<6>(second_at));
    }
    void add(double size, Eigen::VectorXd& to) const {
      to.segment<6>(first_at) += size * first;
      to.segment<6>(second_at) += size * second;
    }
  };
  /// A block of the matrix without contacts, and where it stands: on the diagonal or to the left of it.
  struct Tie {
    int row = 0, column = 0;
    Block block;
  };
  enum class Touching : char { open, closed, crushed };
  struct Known {
    Eigen::VectorXd f;          ///< of length 1
    Eigen::VectorXd x;          ///< motion under it
    std::vector<double> alike;  ///< cosines with the forces of those before
  };
  Eigen::VectorXd inside(const Eigen::VectorXd& force) const;
  Eigen::VectorXd outside(const Eigen::VectorXd& x) const;
  Eigen::VectorXd solve(Eigen::VectorXd force) const;
  Eigen::VectorXd without_contacts(const Eigen::VectorXd& x) const;
  Eigen::VectorXd without_contacts(const Eigen::VectorXd& force, const Eigen::VectorXd& x,
                                   const Eigen::VectorXd& moved) const;
  void close(const std::vector<Touching>& touching);
  /// Something moves farther than the frame is long.
  bool far(const Eigen::VectorXd& x) const;
  std::vector<double> alike(const Eigen::VectorXd& f) const;
  std::vector<Touching> likely(const std::vector<double>& alike, double load) const;
  std::vector<Touching> touching_at(const Eigen::VectorXd& overlap) const;
  /// Of one contact: what it pushes with, and what it adds to its stiffness' own, which is 1.
  double push(std::size_t contact, double overlap) const;
  double stiffness(std::size_t contact, Touching touching) const;
  Eigen::VectorXd moved(const Eigen::VectorXd& x) const;
  void add_pushes(const Eigen::VectorXd& overlap, Eigen::VectorXd& rest) const;
  double best_along(double at_start, double growth, const Eigen::VectorXd& overlap,
                    const Eigen::VectorXd& closing) const;
  bool falls_for_ever(const Eigen::VectorXd& f, double load, const Eigen::VectorXd& d, double growth,
                      const Eigen::VectorXd& closing) const;

  const Solver::Parts& parts_;
  BlockFactors factors_;
  std::vector<int> slot_;  ///< of each unknown inside
  Eigen::VectorXd scale_;  ///< of each unknown
  std::vector<Tie, Eigen::aligned_allocator<Tie>> ties_;
  std::vector<OverNodes, Eigen::aligned_allocator<OverNodes>> contacts_;
  Eigen::VectorXd gaps_;
  std::vector<double> most_, crushed_;  ///< of each contact: push that crushes it, stiffness then; of its own, 1
  double crushing_ = 1;
  double extent_ = 0;
  Blocks open_;                                             ///< the blocks that contacts change, with all of them open
  std::vector<std::pair<std::size_t, int>> open_at_;        ///< where they stand, and their columns
  std::vector<std::vector<std::pair<int, int>>> of_block_;  ///< contacts of each, and as which of their three
  std::vector<std::array<int, 3>> block_of_;  ///< of each contact: its first node's, its second's, and between them
  std::vector<char> flipped_;                 ///< of each contact: its first node stands to the right of its second
  std::vector<Touching> touching_;
  bool factorised_ = false;
  std::vector<Known> known_;
};

}  // namespace garthwright::frame
