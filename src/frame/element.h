// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <Eigen/Dense>
#include <vector>

#include "frame/frame.h"

/// One member as the solver sees it: a 12 × 12 stiffness in the member's own axes (six ways of moving at each end).
namespace garthwright::frame {

using Matrix12 = Eigen::Matrix<double, 12, 12>;
using Vector12 = Eigen::Matrix<double, 12, 1>;

/// Where a member lies: its length, its axes (rows: x, y, z), and how far its ends stand from their nodes.
struct Axes {
  double length = 0;
  Eigen::Matrix3d rows = Eigen::Matrix3d::Identity();
  std::array<Eigen::Vector3d, 2> offset{Eigen::Vector3d::Zero(), Eigen::Vector3d::Zero()};
};

Axes axes_of(const Frame& frame, const Member& member);

/// Motions of the nodes to those of the member's ends in its own axes; forces at its ends to what they are at the
/// nodes.
Vector12 to_local(const Axes& axes, const Vector12& global);
Vector12 to_global(const Axes& axes, const Vector12& local);
Matrix12 to_global(const Axes& axes, const Matrix12& local);

/// Stiffness of a bar rigidly held at both ends. Przemieniecki (1968) eq. (5.116) without shear.
Matrix12 bar_stiffness(const Member& member, double length);

/// What an axial force (N, tension positive) adds to it. Przemieniecki (1968) eq. (15.37).
Matrix12 geometric_stiffness(double tension, double length);

/// Forces that the nodes put on a held bar under a uniform load (local axes): w L/2 and w L²/12.
Vector12 held_end_forces(const Vec3& uniform, double length);

/// A bar with its joints folded in. Each way of moving that a joint lets go is eliminated in turn, so that stiffness
/// `s` in series with the bar's `k` becomes k s / (k + s): exact for s = 0, for a soft spring and for a stiff one
/// alike.
class Element {
 public:
  Element(const Matrix12& bar, const std::array<Vec6, 2>& joint);

  const Matrix12& stiffness() const { return stiffness_; }

  /// Held end forces as the nodes see them through the joints.
  Vector12 through_joints(Vector12 held) const;

  /// Motion of the bar's own ends when its nodes move by `nodes` (local axes) under the given held forces.
  Vector12 bar_motion(const Vector12& nodes, const Vector12& held) const;

  /// The bar's end motions as a linear map of those of its nodes.
  Matrix12 bar_from_nodes() const;

  /// A way of moving that both joints leave free is loaded: the bar would slide or spin away. -1 when there is none.
  int loose(const Vector12& held) const;

 private:
  struct Elimination {
    int way;
    double spring;
    double pivot;  ///< 0 where nothing at all resists
    Vector12 row;  ///< of the stiffness at that stage
  };
  Matrix12 stiffness_;
  std::vector<Elimination> eliminations_;
};

}  // namespace garthwright::frame
