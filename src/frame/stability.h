// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "frame/frame.h"

/// What axial forces do to a frame's stiffness: at which multiple of its loads it buckles, and how much more it sways
/// than the linear answer says. Source: Przemieniecki (1968) ch. 15.
namespace garthwright::frame {

struct Buckling {
  /// Smallest multiple of the loads at which the frame loses its stiffness; infinite where nothing is in compression.
  double critical_factor = kRigid;
  bool converged = true;
  /// How the frame's nodes move when it buckles, the largest shift being 1 (empty where the factor is infinite).
  std::vector<Motion> mode;
};

/// Contacts stay open or shut as the loads leave them.
/// Members are cut into Options::pieces_per_member pieces first, so that they may bow between their nodes.
Result<Buckling> critical_load(const Solver& solver, const Loads& loads);
/// The same where the loads' solution is known; members stay whole.
Result<Buckling> critical_load(const Frame& frame, const Solution& under, const Options& options = {});

/// The frame in equilibrium in its bent place, with the axial forces that belong to it. End forces stay in the members'
/// unbent axes, so a member's moments include force times sway. Fails with "unstable" where the loads exceed the
/// critical ones, and where there are contacts. Bowing between nodes is only as fine as the members given: cut() them
/// first where it matters.
Result<Solution> solve_p_delta(const Solver& solver, const Loads& loads);

/// The same frame with every member cut into equal pieces; member m becomes members m·pieces … m·pieces + pieces - 1,
/// and the nodes of the frame keep their numbers.
Frame cut(const Frame& frame, int pieces);
Loads cut(const Loads& loads, int pieces);

}  // namespace garthwright::frame
