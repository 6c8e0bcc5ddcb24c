// SPDX-License-Identifier: Apache-2.0
#include "structure/joint_index.h"

#include <algorithm>

namespace garthwright {

JointIndex::JointIndex(const Structure& structure) : fixings_(structure.joints.size()) {
  for (std::size_t i = 0; i < structure.joints.size(); ++i) {
    const Joint& joint = structure.joints[i];
    const JointId id{static_cast<int>(i)};
    joints_[joint.a].push_back(id);
    joints_[joint.b].push_back(id);
    between_[std::minmax(joint.a, joint.b)].push_back(id);
  }
  for (std::size_t f = 0; f < structure.fixings.size(); ++f) {
    const std::vector<Body>& through = structure.fixings[f].through;
    for (std::size_t i = 0; i < through.size(); ++i)
      for (std::size_t k = i + 1; k < through.size(); ++k) {
        const auto found = between_.find(std::minmax(through[i], through[k]));
        if (found == between_.end()) continue;
        for (const JointId id : found->second)
          fixings_[static_cast<std::size_t>(id.index)].push_back(static_cast<int>(f));
      }
  }
}

const std::vector<JointId>& JointIndex::joints_of(Body body) const {
  static const std::vector<JointId> kNone;
  const auto found = joints_.find(body);
  return found == joints_.end() ? kNone : found->second;
}

JointId JointIndex::between(Body a, Body b) const {
  const auto found = between_.find(std::minmax(a, b));
  return found == between_.end() ? JointId{} : found->second.back();
}

const std::vector<int>& JointIndex::fixings_of(JointId joint) const {
  return fixings_[static_cast<std::size_t>(joint.index)];
}

}  // namespace garthwright
