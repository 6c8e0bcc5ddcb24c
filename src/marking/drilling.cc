// SPDX-License-Identifier: Apache-2.0
#include "marking/drilling.h"

#include <algorithm>
#include <cmath>

namespace garthwright::marking {
namespace {

/// How far along the fixing from its head the body in question begins.
double comes_in(const Structure& structure, const JointIndex& joints, const Fixing& fixing, std::size_t nth) {
  if (nth == 0) return -fixing.sunk;
  const JointId id = joints.between(fixing.through[nth - 1], fixing.through[nth]);
  if (!id) return 0;
  const Joint& joint = structure[id];
  const double rate = dot(fixing.direction, joint.normal);
  return std::abs(rate) < 1e-6 ? 0 : dot(joint.point - fixing.head, joint.normal) / rate;
}

Hole hole_of(const Structure& structure, const JointIndex& joints, const Fixing& fixing, std::size_t nth,
             const Frame& frame) {
  const double in = comes_in(structure, joints, fixing, nth);
  const bool last = nth + 1 == fixing.through.size();
  Hole hole;
  hole.entry = frame.to_local(fixing.head + in * fixing.direction);
  hole.direction = frame.direction_to_local(fixing.direction);
  hole.through = !last || timber::is_bolt(fixing.kind);
  hole.depth = std::max(0.0, (last ? fixing.length : comes_in(structure, joints, fixing, nth + 1)) - in);
  hole.kind = timber::is_bolt(fixing.kind) ? Hole::Kind::bolt : last ? Hole::Kind::pilot : Hole::Kind::clearance;
  hole.diameter = last && !timber::is_bolt(fixing.kind) ? fixing.pilot : fixing.clearance;
  return hole;
}

}  // namespace

std::vector<Drilling> drillings(const Structure& structure, const JointIndex& joints, PieceId piece,
                                const std::vector<int>& fixings) {
  std::vector<Drilling> all;
  for (const int index : fixings) {
    const Fixing& fixing = structure.fixings[static_cast<std::size_t>(index)];
    for (std::size_t nth = 0; nth < fixing.through.size(); ++nth) {
      if (fixing.through[nth] != body(piece)) continue;
      Drilling drilling{index, nth, hole_of(structure, joints, fixing, nth, structure[piece].frame)};
      if (nth == 0 && fixing.sunk > 0) drilling.counterbore = fixing.across_head, drilling.sunk = fixing.sunk;
      all.push_back(drilling);
    }
  }
  return all;
}

}  // namespace garthwright::marking
