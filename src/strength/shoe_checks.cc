// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <cmath>
#include <map>

#include "strength/checks.h"
#include "strength/fixing_strength.h"

namespace garthwright::strength {
namespace {

/// One way in which a shoe is loaded, N, against what is declared for it.
double share(double force, double declared) {
  if (force <= kTrifle) return 0;
  return declared > 0 ? std::min(kNoStrength, force / declared) : kNoStrength;
}

}  // namespace

void check_shoes(const Solved& s, Checks& checks) {
  std::map<CheckKey, Check> rows;
  for (const Base& base : s.model.bases) {
    if (base.footing < 0) continue;
    const Footing& footing = s.structure.footings[static_cast<std::size_t>(base.footing)];
    if (footing.shoe.empty()) continue;
    for (const Case& k : s.ultimate) {
      if (k.when.state.growing() || k.roof_alone) continue;
      const frame::Wrench r = s.reaction(k, base.support);
      const auto& f = r.force_n;
      // The ground's springs stand below: their moment is brought up to the post's foot.
      const double up = world_box(s.structure, body(footing.post)).min.z -
                        s.model.frame.nodes[s.model.frame.supports[base.support].node].at_mm[2];
      const double moment =
          footing.shoe_make.turn_nmm > 0 ? std::hypot(r.moment_nmm[0] + up * f[1], r.moment_nmm[1] - up * f[0]) : 0;
      const double declared = part_of_declared(s.site, duration_of(*k.combination));
      const bool pulled = f[2] < 0;
      const double along =
          share(std::abs(f[2]), declared * (pulled ? footing.shoe_make.pull_n : footing.shoe_make.down_n));
      const double across = share(std::hypot(f[0], f[1]), declared * footing.shoe_make.side_n);
      Check c = new_check(CheckKind::shoe, {body(footing.post)});
      const double turned = share(moment, declared * footing.shoe_make.moment_nmm);
      c.utilisation = std::min(kNoStrength, along + across + turned);
      const auto [row, is_new] = rows.try_emplace(key_of(c, s.structure), c);
      if (!is_new && row->second.utilisation >= c.utilisation) continue;
      c.place = footing.centre;
      c.when = k.when;
      c.demand = std::hypot(f[0], f[1], f[2]) / 1000, c.unit = "kN";
      c.capacity = c.utilisation > 0 ? c.demand / c.utilisation : 0;
      c.verdict = verdict_of(c.utilisation);
      c.source = fmt::format("declared by: {}; {}; all ways added, our own", footing.shoe_make.declared_by,
                             s.us() ? "CD (NDS 2.3.2)" : "kmod of service class 3, γM 1.3 (EN 1995-1-1 2.4.3)");
      c.plain = fmt::format(
          "{}: {} with {:.1f} kN ({:.0f} %) and pushed sideways with {:.1f} kN ({:.0f} %){}.", footing.shoe,
          pulled ? "pulled" : "pressed", std::abs(f[2]) / 1000, 100 * along, std::hypot(f[0], f[1]) / 1000,
          100 * across,
          moment > 0 ? fmt::format(", and bent with {:.1f} kNm ({:.0f} %)", moment / 1e6, 100 * turned) : "");
      row->second = c;
    }
  }
  for (auto& [_, c] : rows) checks.push_back(std::move(c));
}

}  // namespace garthwright::strength
