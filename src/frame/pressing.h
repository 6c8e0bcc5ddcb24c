// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <Eigen/Sparse>
#include <optional>
#include <vector>

#include "frame/solver_parts.h"

/// Which contacts of a frame push, and the frame's motion with them.
namespace garthwright::frame {

/// Minimises the energy ½ xᵀK x - fᵀx + Σ ½ k max(0, -gap - b·x)², K being the frame without its contacts: convex,
/// quadratic in pieces, smooth in its first derivative. Each step is Newton's with the contacts that are closed now and
/// goes to the least energy along its line. What nothing holds when contacts open makes K singular: a part kDamping of
/// every way of moving's stiffness is added to the step's matrix only, never to the energy, so that the rest it comes
/// to owes nothing to it; and a step along which the energy falls for ever is a part that comes off.
class Pressing {
 public:
  explicit Pressing(const Solver::Parts& parts);

  struct Found {
    Eigen::VectorXd x;
    int steps = 0;
    bool settled = false;
    std::optional<Eigen::VectorXd> comes_off;  ///< the motion
  };
  /// Under the forces f on the unknowns, starting with the contacts that were closed last.
  Found find(const Eigen::VectorXd& f);

  /// What motion a small rest of force makes at the state last found.
  Eigen::VectorXd correct(const Eigen::VectorXd& rest) const;

 private:
  /// A contact's row over the unknowns that are free, and where its square stands among the matrix's values.
  struct OverUnknowns {
    std::vector<std::pair<int, double>> row;
    std::vector<std::pair<Eigen::Index, double>> square;
    double k = 0, gap = 0;
    double times(const Eigen::VectorXd& x) const;
  };
  void factorise(const std::vector<char>& closed);
  double overlap(std::size_t contact, const Eigen::VectorXd& x) const;
  std::vector<char> closed_at(const Eigen::VectorXd& x) const;
  Eigen::VectorXd out_of_balance(const Eigen::VectorXd& f, const Eigen::VectorXd& x) const;
  double best_along(const Eigen::VectorXd& f, const Eigen::VectorXd& x, const Eigen::VectorXd& d) const;
  bool falls_for_ever(const Eigen::VectorXd& f, const Eigen::VectorXd& d) const;

  const Solver::Parts& parts_;
  std::vector<OverUnknowns> contacts_;
  Eigen::VectorXd scale_;
  Sparse scaled_;         ///< lower half, with the pattern of all contacts closed
  Eigen::VectorXd open_;  ///< its values with all contacts open
  Eigen::SimplicialLDLT<Sparse> ldlt_;
  std::vector<char> closed_;
  bool factorised_ = false;
};

}  // namespace garthwright::frame
