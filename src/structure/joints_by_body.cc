// SPDX-License-Identifier: Apache-2.0
#include "structure/joints_by_body.h"

namespace garthwright {

JointId JointsByBody::between(const Structure& structure, Body a, Body b) {
  for (; seen_ < structure.joints.size(); ++seen_) {
    const JointId id{static_cast<int>(seen_)};
    of_[structure[id].a].push_back(id);
    if (structure[id].b != structure[id].a) of_[structure[id].b].push_back(id);
  }
  const std::vector<JointId>&of_a = of_[a], &of_b = of_[b], &fewer = of_a.size() <= of_b.size() ? of_a : of_b;
  const Body other = &fewer == &of_a ? b : a, own = &fewer == &of_a ? a : b;
  for (auto id = fewer.rbegin(); id != fewer.rend(); ++id) {
    const Joint& joint = structure[*id];
    if ((joint.a == own && joint.b == other) || (joint.a == other && joint.b == own)) return *id;
  }
  return {};
}

}  // namespace garthwright
