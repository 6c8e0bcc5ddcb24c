// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <vector>

#include "frame/block_factors.h"
#include "frame/solver_parts.h"

/// Which contacts of a frame push, and the frame's motion with them.
namespace garthwright::frame {

/// Minimises the energy ½ xᵀK x - fᵀx + Σ ½ k max(0, -gap - b·x)², K being the frame without its contacts: convex,
/// quadratic in pieces, smooth in its first derivative. Each step is Newton's with the contacts that are closed now and
/// goes to the least energy along its line. What nothing holds when contacts open makes K singular: a part kDamping of
/// every way of moving's stiffness is added to the step's matrix only, never to the energy, so that the rest it comes
/// to owes nothing to it; and a step along which the energy falls for ever is a part that comes off, as
/// is one that would come to rest only farther off than the frame is long.
class Pressing {
 public:
  explicit Pressing(const Solver::Parts& parts);

  struct Found {
    Eigen::VectorXd x;
    int steps = 0;
    bool settled = false;
    std::optional<Eigen::VectorXd> comes_off;  ///< the motion
  };
  /// Under the forces f on the unknowns. Begins with the contacts that the motions under the forces before would close,
  /// added up as those forces add up to f most nearly: where f is one of them but for its size and there are no gaps,
  /// that is the answer.
  Found find(const Eigen::VectorXd& f);

  /// What motion a small rest of force makes at the state last found.
  Eigen::VectorXd correct(const Eigen::VectorXd& rest) const;

 private:
  /// A contact's row over the unknowns that are free, and where its square stands among the matrix's blocks.
  struct OverUnknowns {
    int terms = 0;
    std::array<int, 12> at{};
    std::array<double, 12> b{};
    double k = 0, gap = 0;
    std::array<BlockFactors::Place, 3> places;        ///< of (first, first), (second, second), (second, first)
    std::array<Eigen::Matrix<double, 6, 1>, 2> half;  ///< √k times the row, scaled, of either node
    double times(const Eigen::VectorXd& x) const {
      double sum = 0;
      for (int i = 0; i < terms; ++i) sum += b[i] * x[at[i]];
      return sum;
    }
  };
  struct Known {
    Eigen::VectorXd scaled;     ///< forces, of length 1
    Eigen::VectorXd x;          ///< motion under these
    std::vector<double> alike;  ///< cosines with the forces of those before
  };
  void close(const std::vector<char>& closed);
  /// Something moves farther than the frame is long.
  bool far(const Eigen::VectorXd& x) const;
  std::vector<double> alike(const Eigen::VectorXd& scaled) const;
  std::vector<char> likely(const std::vector<double>& alike, double load) const;
  std::vector<char> closed_at(const Eigen::VectorXd& overlap) const;
  Eigen::VectorXd without_contacts(const Eigen::VectorXd& force, const Eigen::VectorXd& x,
                                   const Eigen::VectorXd& moved) const;
  Eigen::VectorXd overlaps(const Eigen::VectorXd& x) const;
  void add_pushes(const Eigen::VectorXd& overlap, Eigen::VectorXd& rest) const;
  double best_along(double at_start, double growth, const Eigen::VectorXd& overlap,
                    const Eigen::VectorXd& closing) const;
  bool falls_for_ever(const Eigen::VectorXd& f, const Eigen::VectorXd& d, double growth,
                      const Eigen::VectorXd& closing) const;

  const Solver::Parts& parts_;
  std::vector<OverUnknowns> contacts_;
  std::vector<int> slot_;  ///< of each unknown among six to a node
  Eigen::VectorXd scale_, gaps_;
  double extent_ = 0;
  BlockFactors factors_;
  std::vector<Block, Eigen::aligned_allocator<Block>>
      open_;                                                ///< the blocks that contacts change, with all of them open
  std::vector<std::pair<std::size_t, int>> open_at_;        ///< where they stand, and their columns
  std::vector<std::vector<std::pair<int, int>>> of_block_;  ///< contacts (and which of their places) of each
  std::vector<std::array<int, 3>> block_of_;                ///< of each contact
  std::vector<char> closed_;
  bool factorised_ = false;
  std::vector<Known> known_;
};

}  // namespace garthwright::frame
