// SPDX-License-Identifier: Apache-2.0
#include "structure/joint_index.h"

#include <algorithm>

namespace garthwright {

JointIndex::JointIndex(const Structure& structure) : fixings_(structure.joints.size()) {
  std::map<std::pair<Body, Body>, std::vector<JointId>> between;
  for (std::size_t i = 0; i < structure.joints.size(); ++i) {
    const Joint& joint = structure.joints[i];
    const JointId id{static_cast<int>(i)};
    joints_[joint.a].push_back(id);
    joints_[joint.b].push_back(id);
    between[std::minmax(joint.a, joint.b)].push_back(id);
    newest_[std::minmax(joint.a, joint.b)] = id;
  }
  for (std::size_t f = 0; f < structure.fixings.size(); ++f) {
    const std::vector<Body>& through = structure.fixings[f].through;
    for (std::size_t i = 0; i < through.size(); ++i)
      for (std::size_t k = i + 1; k < through.size(); ++k) {
        const auto found = between.find(std::minmax(through[i], through[k]));
        if (found == between.end()) continue;
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
  const auto found = newest_.find(std::minmax(a, b));
  return found == newest_.end() ? JointId{} : found->second;
}

const std::vector<int>& JointIndex::fixings_of(JointId joint) const {
  return fixings_[static_cast<std::size_t>(joint.index)];
}

}  // namespace garthwright
