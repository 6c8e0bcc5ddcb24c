// SPDX-License-Identifier: Apache-2.0
#include "strength/checks.h"
#include "strength/fixing_checks.h"

namespace garthwright::strength {

void check_joints(const Solved& s, Checks& checks) {
  std::vector<LoadedCase> cases;
  cases.reserve(s.ultimate.size());
  for (const Case& c : s.ultimate) {
    LoadedCase loaded{c.when, duration_of(*c.combination), {}};
    for (const Crossing& crossing : s.model.crossings) {
      const FixingForce f = fixing_force(s, c, crossing);
      const auto judged = [&](Body b) { return b.kind == Body::Kind::piece && s.judges(c, PieceId{b.index}); };
      if (judged(f.first) || judged(f.second)) loaded.forces.push_back(f);
    }
    cases.push_back(std::move(loaded));
  }
  for (Check& c : judge_fixings(s.structure, s.site, cases)) checks.push_back(std::move(c));
  for (Check& c : judge_corrosion(s.structure, s.site)) checks.push_back(std::move(c));
}

}  // namespace garthwright::strength
