// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "strength/checks.h"
#include "strength/fixing_strength.h"

namespace garthwright::strength {
namespace {

constexpr double kTrifle = 20;  // N: a fixing's pull that is not worth a word
constexpr double kNone = 99;    // use of a fixing that does not reach into its timber

}  // namespace

void check_joints(const Solved& s, Checks& checks) {
  std::map<CheckKey, Check> strongest, nearest;
  const auto keep = [&](std::map<CheckKey, Check>& worst, const Check& c) {
    const auto [at, is_new] = worst.try_emplace(key_of(c, s.structure), c);
    if (!is_new && std::pair{c.verdict, c.utilisation} > std::pair{at->second.verdict, at->second.utilisation})
      at->second = c;
  };
  for (std::size_t at = 0; at < s.structure.joints.size(); ++at) {
    const JointId id{static_cast<int>(at)};
    const Joint& joint = s.structure[id];
    if (joint.a.kind != Body::Kind::piece || joint.b.kind != Body::Kind::piece) continue;
    std::vector<int> fixings;
    for (const Crossing& crossing : s.model.crossings)
      if (crossing.joint == id) fixings.push_back(crossing.fixing);
    if (fixings.empty()) continue;
    const Piece &a = s.structure[PieceId{joint.a.index}], &b = s.structure[PieceId{joint.b.index}];
    const std::vector<Body> both = a.mark < b.mark ? std::vector{joint.a, joint.b} : std::vector{joint.b, joint.a};

    struct Use {
      double u = -1, across = 0, pull = 0;
      bool end_grain = false;
      FixingStrength one;
      const Case* when = nullptr;
    } worst;
    std::map<std::pair<Duration, int>, FixingStrength> strengths;
    for (const Case& c : s.ultimate) {
      if (!s.judges(c, PieceId{joint.a.index}) && !s.judges(c, PieceId{joint.b.index})) continue;
      const Duration duration = duration_of(*c.combination);
      for (const FixingForce& f : fixing_forces(s, c, id)) {
        const Fixing& fixing = s.structure.fixings[static_cast<std::size_t>(f.fixing)];
        const auto [found, is_new] = strengths.try_emplace({duration, f.fixing});
        if (is_new) found->second = fixing_strength(s.structure, s.site, joint, fixing, duration);
        const FixingStrength& one = found->second;
        const Vec3 direction = unit(fixing.direction);
        const double along = dot(f.force, direction), across = norm(f.force - along * direction);
        const bool head_at_first = std::find(fixing.through.begin(), fixing.through.end(), f.first) <
                                   std::find(fixing.through.begin(), fixing.through.end(), f.second);
        const double pull = std::max(0.0, head_at_first ? -along : along);
        const double lateral = one.lateral > 0 ? across / one.lateral : across > kTrifle ? kNone : 0;
        // (8.28), squares, for all but smooth nails; the NDS's 12.4-2 is a straight sum along an angle, near it.
        const double u = std::hypot(lateral, one.axial > 0 ? pull / one.axial : 0);
        const bool end_grain = one.axial <= 0 && pull > kTrifle;
        if (std::pair{u > 1, std::pair{u, end_grain}} > std::pair{worst.u > 1, std::pair{worst.u, worst.end_grain}})
          worst = {u, across, pull, worst.end_grain, one, &c};
        worst.end_grain = worst.end_grain || end_grain;
      }
    }
    if (worst.when == nullptr) continue;
    Check c = new_check(CheckKind::joint, both);
    c.joint = id, c.place = joint.point;
    c.demand = std::hypot(worst.across, worst.pull) / 1000;
    c.capacity = worst.u > 1e-9 ? c.demand / worst.u : worst.one.lateral / 1000;
    c.unit = "kN";
    c.utilisation = std::min(worst.u, kNone);
    c.verdict = worst.end_grain ? std::max(Verdict::attention, verdict_of(worst.u)) : verdict_of(worst.u);
    c.source = worst.one.source;
    c.when = worst.when->when;
    c.plain = worst.u > 1 ? fmt::format("Too weak: {:.0f} % of what the {} can hold is asked.", 100 * worst.u,
                                        fixings.size() == 1 ? "fixing" : "worst fixing")
                          : fmt::format("{:.0f} % of the worst fixing's strength is used.", 100 * worst.u);
    if (worst.end_grain)
      c.plain +=
          " They are also pulled along the grain, where no strength may be counted on: add an angle bracket, or "
          "a screw across the grain.";
    keep(strongest, c);

    const Crowding close = crowding(s.structure, s.site, joint, fixings);
    if (close.wanted <= 0) continue;
    Check d = new_check(CheckKind::spacing, both);
    d.joint = id, d.place = joint.point;
    d.demand = close.wanted, d.capacity = close.actual, d.unit = "mm";
    d.utilisation = close.use();
    d.verdict = close.use() > 1.02 ? Verdict::attention : Verdict::ok;
    d.source = s.us() ? "NDS Tables 12.5.1A–D (1/4 in and more); EN 1995-1-1 Table 8.2 below"
                      : "EN 1995-1-1 Table 8.2, 8.4, unloaded ends and edges, predrilled";
    d.plain =
        close.use() > 1.02
            ? fmt::format(
                  "{:.0f} mm from the {}, where {:.0f} mm are wanted: it may split. Drill first, with a "
                  "sharp bit, and do not drive the last turn hard.",
                  close.actual, close.what, close.wanted)
            : fmt::format("Nearest {:.0f} mm ({}), {:.0f} mm are wanted.", close.actual, close.what, close.wanted);
    keep(nearest, d);
  }
  for (auto& [_, c] : strongest) checks.push_back(c);
  for (auto& [_, c] : nearest) checks.push_back(c);
}

}  // namespace garthwright::strength
