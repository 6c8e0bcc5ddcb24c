// SPDX-License-Identifier: Apache-2.0
#include "structure/joint_index.h"

#include <algorithm>

namespace garthwright {

JointIndex::JointIndex(const Structure& structure)
    : pieces_(structure.pieces.size()),
      panels_(structure.panels.size()),
      joints_(pieces_ + panels_ + 3),
      met_(joints_.size()),
      fixings_(structure.joints.size()) {
  for (std::size_t i = 0; i < structure.joints.size(); ++i) {
    const Joint& joint = structure.joints[i];
    const JointId id{static_cast<int>(i)};
    joints_[place(joint.a)].push_back(id);
    joints_[place(joint.b)].push_back(id);
    met_[place(joint.a)].push_back({joint.b, id});
    met_[place(joint.b)].push_back({joint.a, id});
  }
  for (std::size_t f = 0; f < structure.fixings.size(); ++f) {
    const std::vector<Body>& through = structure.fixings[f].through;
    for (std::size_t i = 0; i < through.size(); ++i)
      for (std::size_t k = i + 1; k < through.size(); ++k) {
        const auto [list, other] = fewer(through[i], through[k]);
        for (const Met& met : *list)
          if (met.other == other) fixings_[static_cast<std::size_t>(met.joint.index)].push_back(static_cast<int>(f));
      }
  }
}

std::size_t JointIndex::place(Body body) const {
  const auto index = static_cast<std::size_t>(body.index);
  switch (body.kind) {
    case Body::Kind::piece:
      if (index < pieces_) return index;
      break;
    case Body::Kind::panel:
      if (index < panels_) return pieces_ + index;
      break;
    case Body::Kind::ground:
      return pieces_ + panels_;
    case Body::Kind::wall:
      return pieces_ + panels_ + 1;
  }
  return pieces_ + panels_ + 2;
}

std::pair<const std::vector<JointIndex::Met>*, Body> JointIndex::fewer(Body a, Body b) const {
  const std::vector<Met>&of_a = met_[place(a)], &of_b = met_[place(b)];
  return of_a.size() <= of_b.size() ? std::pair{&of_a, b} : std::pair{&of_b, a};
}

const std::vector<JointId>& JointIndex::joints_of(Body body) const { return joints_[place(body)]; }

JointId JointIndex::between(Body a, Body b) const {
  const auto [list, other] = fewer(a, b);
  const auto found = std::find_if(list->rbegin(), list->rend(), [&](const Met& met) { return met.other == other; });
  return found == list->rend() ? JointId{} : found->joint;
}

const std::vector<int>& JointIndex::fixings_of(JointId joint) const {
  return fixings_[static_cast<std::size_t>(joint.index)];
}

}  // namespace garthwright
