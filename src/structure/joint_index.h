// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <map>
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
  std::map<Body, std::vector<JointId>> joints_;
  std::map<std::pair<Body, Body>, std::vector<JointId>> between_;  ///< in the order in which they were joined
  std::vector<std::vector<int>> fixings_;
};

}  // namespace garthwright
