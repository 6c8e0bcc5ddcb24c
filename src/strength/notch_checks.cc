// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "strength/checks.h"
#include "strength/design_values.h"
#include "strength/nds_members.h"

namespace garthwright::strength {
namespace {

/// The notch of a piece against another that opens downwards: the piece stands on the other with it.
const Notch* standing_notch(const Piece& piece, Body other) {
  for (const Machining& machining : piece.machining)
    if (const Notch* n = std::get_if<Notch>(&machining))
      if (n->against == other && piece.frame.direction_to_world(outward(n->opens_on)).z < -0.7) return n;
  return nullptr;
}

/// Bars of a piece that end at the node nearest to a place, and which of their ends does.
std::vector<std::pair<frame::MemberIndex, int>> bars_beside(const Solved& s, PieceId piece, double place) {
  std::vector<std::pair<frame::MemberIndex, int>> found;
  double at = 1e18;
  for (const auto& [along, node] : s.model.stations[static_cast<std::size_t>(piece.index)])
    if (std::abs(along - place) < std::abs(at - place)) at = along;
  for (const Bar& bar : s.model.bars) {
    if (bar.piece != piece) continue;
    if (bar.from_mm == at) found.emplace_back(bar.member, 0);
    if (bar.to_mm == at) found.emplace_back(bar.member, 1);
  }
  return found;
}

/// A piece standing on another with a notch.
struct Seat {
  const Piece& upper;
  std::vector<Body> both;  ///< the upper, then the one under it
  Vec3 place;
  double b, h, h_ef, contact;
};

struct Worst {
  double use = -1, demand = 0, capacity = 0;
  const Case* when = nullptr;
  void take(double asked, double given, const Case& c) {
    const double u = given > 0 ? asked / given : 99;
    if (u > use) *this = {u, asked, given, &c};
  }
};

Check row_of(const Solved& s, const Seat& seat, const Worst& w) {
  Check c = new_check(CheckKind::notch, seat.both);
  c.place = seat.place;
  c.demand = w.demand / 1000, c.capacity = w.capacity / 1000, c.unit = "kN";
  c.utilisation = w.use, c.verdict = verdict_of(w.use), c.when = w.when->when;
  c.source = s.us() ? "NDS 3.4.3.2 (3.4-3)" : "EN 1995-1-1 6.5.2 (6.60)–(6.62), kcr 0.67";
  c.plain = fmt::format("{:.0f} % of what the notched {} bears before it splits there is asked.{}", 100 * w.use,
                        seat.upper.name, w.use > 1 ? " Notch it less, or take a deeper section." : "");
  return c;
}

}  // namespace

void check_notches(const Solved& s, Checks& checks) {
  std::map<CheckKey, Check> worst;
  const auto keep = [&](Check c) {
    const auto [at, is_new] = worst.try_emplace(key_of(c, s.structure), c);
    if (!is_new && c.utilisation > at->second.utilisation) at->second = std::move(c);
  };
  for (std::size_t j = 0; j < s.structure.joints.size(); ++j) {
    const JointId at{static_cast<int>(j)};
    const Joint& joint = s.structure[at];
    const auto carries = [&](Body b) {
      return b.kind == Body::Kind::piece && s.model.carries[static_cast<std::size_t>(b.index)];
    };
    if (!carries(joint.a) || !carries(joint.b)) continue;
    for (const auto& [above, below] : {std::pair{joint.a, joint.b}, std::pair{joint.b, joint.a}}) {
      const PieceId id{above.index};
      const Piece& piece = s.structure[id];
      const Notch* notch = standing_notch(piece, below);
      if (notch == nullptr) continue;
      const bool on_edge = notch->opens_on == Face::edge_low || notch->opens_on == Face::edge_high;
      const double h = on_edge ? piece.width.value() : piece.thickness.value();
      const Seat seat{piece,
                      {above, below},
                      joint.point,
                      on_edge ? piece.thickness.value() : piece.width.value(),
                      h,
                      h - (on_edge ? notch->region.size().y : notch->region.size().z),
                      notch->region.size().x};
      if (seat.h_ef <= 0) continue;
      const auto bars = bars_beside(s, id, std::clamp(piece.frame.to_local(joint.point).x, 0.0, piece.length.value()));
      const Free free{piece.width.value(), piece.thickness.value(), piece.length.value(), piece.length.value()};
      std::map<Duration, std::optional<DesignValues>> by_duration;
      Worst split;
      for (const Case& c : s.ultimate) {
        if (!s.judges(c, id)) continue;
        const auto [values, is_new] = by_duration.try_emplace(duration_of(*c.combination));
        if (is_new) values->second = design_values(s.site, s.structure[piece.section], free, values->first);
        if (!values->second) continue;
        const DesignValues& v = *values->second;
        double shear = 0;
        for (const auto& [member, end] : bars) {
          const frame::Wrench& e = s.bar(c, member).end[static_cast<std::size_t>(end)];
          shear = std::max(shear, std::abs(e.force_n[on_edge ? 1 : 2]));
        }
        // The reaction stands in the middle of the seat: half of it to the notch's corner.
        split.take(
            shear,
            s.us() ? nds::notched_shear(v.fv, seat.b, seat.h, seat.h_ef)
                   : ec5::notched_shear_capacity(seat.b, seat.h_ef, ec5::kv(seat.h, seat.h_ef, seat.contact / 2), v.fv),
            c);
      }
      if (split.when != nullptr) keep(row_of(s, seat, split));
    }
  }
  for (auto& [_, c] : worst) checks.push_back(std::move(c));
}

}  // namespace garthwright::strength
