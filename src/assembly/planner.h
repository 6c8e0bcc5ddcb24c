// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "assembly/assembly.h"
#include "assembly/blocking.h"
#include "assembly/plan.h"

/// A build order by geometry and tool access alone: two groups at a time are brought together by shifts, groups of any
/// size, any number of shifts; fasteners are driven as early as their tools fit.
///
/// Found backwards. The finished whole is parted in two, and each half again, down to single pieces (an AND/OR tree
/// after Homem de Mello & Sanderson 1990). Taking pieces away never takes freedom away: whatever parts a group parts
/// every subset of it. So by geometry the first parting found is as good as any, and a group that cannot be parted
/// proves that the whole cannot be built. Fasteners that cannot (yet) be driven with everything there tie their pieces.

namespace garthwright::assembly {

struct PlanResult {
  bool buildable = false;
  Plan plan;

  /// When not buildable: a smallest set of pieces of which no part can leave the rest (at least two, or one that the
  /// site holds), or the fasteners that can never be driven.
  std::vector<int> blocked_pieces;
  std::vector<int> blocked_fasteners;

  /// A plan proves itself. A "no" is proved when all ways were tried: always for boxes square to the axes within the
  /// limits of the search; for other solids along the ways tried only.
  bool proved = false;
};

PlanResult plan_assembly(const Assembly& assembly);

/// For each movable piece of the finished whole: the ways out (of `ways`) by which it can leave on its own.
struct Removable {
  int piece;
  std::vector<Vec3> ways;
};
std::vector<Removable> first_removable(const Assembly& assembly, const Ways& ways);

}  // namespace garthwright::assembly
