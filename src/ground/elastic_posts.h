// SPDX-License-Identifier: Apache-2.0
#pragma once

/// Posts on springs of soil (Winkler). N, mm. Source: the statics of a rigid bar.
namespace garthwright::ground {

/// A rigid post L deep, pushed by H at height e: shift at the ground, turn, depth of the pivot.
struct RigidPost {
  double shift_mm = 0, turn_rad = 0, pivot_mm = 0;
};
RigidPost rigid_post_even(double h, double e, double depth, double k_per_mm2);    ///< k' N/mm², the same at all depths
RigidPost rigid_post_rising(double h, double e, double depth, double n_per_mm3);  ///< k' = n z

/// Springs that stand for the ground under a rigid post: against shift (N/mm) and against turning (N·mm/rad), at the
/// depth where the one does not stir the other (the centre of the ground's stiffness). Together they give the formulas
/// of RigidPost for every height of the push.
struct GroundSprings {
  double shift = 0, turn = 0, depth_mm = 0;
};
GroundSprings springs_even(double depth, double k_per_mm2);
GroundSprings springs_rising(double depth, double n_per_mm3);

}  // namespace garthwright::ground
