// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <utility>
#include <vector>

#include "structure/structure.h"

namespace garthwright {

/// Which joints a body has, and which fixings go through a joint: gathered once, for whoever asks of all of them. Good
/// as long as the structure is not changed.
class JointIndex {
 public:
  explicit JointIndex(const Structure& structure);

  const std::vector<JointId>& joints_of(Body body) const;
  /// Indices into Structure::fixings, rising.
  const std::vector<int>& fixings_of(JointId joint) const;
  /// The newest joint of two bodies, as joint_between(); none when they have not been joined.
  JointId between(Body a, Body b) const;
  bool is_fixed(JointId joint) const { return !fixings_of(joint).empty(); }

 private:
  struct Met {
    Body other;
    JointId joint;
  };
  /// Pieces, then panels, the ground, the wall; past the last of them for a body that is none of the structure's.
  std::size_t place(Body body) const;
  /// Of the two bodies the one with fewer joints, and the other.
  std::pair<const std::vector<Met>*, Body> fewer(Body a, Body b) const;

  std::size_t pieces_, panels_;
  std::vector<std::vector<JointId>> joints_;  ///< by body
  std::vector<std::vector<Met>> met_;         ///< by body, in the order in which they were joined
  std::vector<std::vector<int>> fixings_;
};

}  // namespace garthwright
