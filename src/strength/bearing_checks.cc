// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

#include "base/us_customary.h"
#include "strength/checks.h"
#include "strength/design_values.h"
#include "strength/nds_members.h"
#include "structure/polygon.h"

namespace garthwright::strength {
namespace {

constexpr double kTrifleN = 15;
constexpr double kAcross = 0.7;  // cosine to the grain below which a face is pressed across it

/// One of the two timbers that press on each other over a face.
struct Side {
  PieceId piece;
  double degrees = 90;  ///< between the pressure and its grain
  std::map<Duration, std::optional<DesignValues>> by_duration;
};

Side side_of(const Solved& s, const Bearing& bearing, Body b) {
  Side side;
  side.piece = PieceId{b.index};
  const Piece& piece = s.structure[side.piece];
  const double cosine = std::min(1.0, std::abs(dot(piece.frame.x, bearing.normal)));
  side.degrees = std::acos(cosine) * 180 / std::numbers::pi;
  return side;
}

/// The part of a face that a push truly presses: what is alike on all sides of where it stands, the rest being open, as
/// the ground under a footing is (EN 1997-1 D.4, by analogy).
Polygon pressed_part(const Bearing& bearing, Vec3 at) {
  const Vec3 middle = centroid(bearing.face);
  double out = 0;  // part of the way to the edge
  for (std::size_t i = 0; i < bearing.face.size(); ++i) {
    const Vec3 &from = bearing.face[i], &to = bearing.face[(i + 1) % bearing.face.size()];
    const Vec3 across = cross(to - from, bearing.normal);
    if (const double edge = dot(from - middle, across); std::abs(edge) > 1e-6)
      out = std::max(out, dot(at - middle, across) / edge);
  }
  if (out > kPressesWithin) at = middle + kPressesWithin / out * (at - middle);
  Polygon mirrored;
  for (const Vec3& corner : bearing.face) mirrored.push_back(at + (at - corner));
  return common(bearing.face, mirrored, bearing.normal);
}

/// What a side bears on a part of the face, with what reaches beyond that part along the grain: 6.1.5(1), C_b of the
/// NDS.
double bears(const Solved& s, const Side& side, const Polygon& part, const DesignValues& v) {
  double area = garthwright::area(part), factor = 1;
  if (std::cos(side.degrees * std::numbers::pi / 180) < kAcross) {
    const Piece& piece = s.structure[side.piece];
    double low = 1e18, high = -1e18;
    for (const Vec3& corner : part) {
      const double x = piece.frame.to_local(corner).x;
      low = std::min(low, x), high = std::max(high, x);
    }
    const double contact = high - low, before = std::max(0.0, low), after = std::max(0.0, piece.length.value() - high);
    if (contact <= 0) return 0;
    if (s.us())
      factor = nds::bearing_factor(contact / kMillimetresPerInch, std::min(before, after) / kMillimetresPerInch);
    else
      area *= ec5::bearing_length(contact, before, after) / contact;
  }
  return area * (s.us() ? nds::bearing_at_angle(side.degrees, v.fc, factor * v.fc_across)
                        : ec5::compression_at_angle(side.degrees, v.fc, v.fc_across, 1));
}

}  // namespace

void check_bearing(const Solved& s, Checks& checks) {
  std::vector<std::vector<std::size_t>> contacts(s.model.bearings.size());
  for (const Pressed& p : s.model.pressed) contacts[p.bearing].push_back(p.contact);
  std::map<CheckKey, Check> worst;
  for (std::size_t i = 0; i < s.model.bearings.size(); ++i) {
    const Bearing& bearing = s.model.bearings[i];
    const Joint& joint = s.structure[bearing.joint];
    // Beside one another they only give: a shoulder that is pressed sideways dents, and hands on to the fixings.
    if (std::abs(bearing.normal.z) < kLies) continue;
    std::vector<Side> sides;
    for (const Body b : {joint.a, joint.b})
      if (b.kind == Body::Kind::piece) sides.push_back(side_of(s, bearing, b));
    double most = -1, demand = 0, capacity = 0;
    const Case* when = nullptr;
    const Side* gives = nullptr;
    for (const Case& c : s.ultimate) {
      double push = 0;
      Vec3 turning;
      for (const std::size_t contact : contacts[i]) {
        const double one = s.under(c).contacts[contact].push_n;
        const frame::Vec3& at = s.model.frame.contacts[contact].at_mm;
        push += one, turning = turning + one * Vec3{at[0], at[1], at[2]};
      }
      if (push < kTrifleN) continue;
      const Polygon part = pressed_part(bearing, (1 / push) * turning);
      for (Side& side : sides) {
        if (!s.judges(c, side.piece)) continue;
        const Duration duration = duration_of(*c.combination);
        const auto [values, is_new] = side.by_duration.try_emplace(duration);
        if (is_new) {
          const Piece& piece = s.structure[side.piece];
          const double w = piece.width.value(), t = piece.thickness.value();
          values->second = design_values(s.site, s.structure[piece.section], {w, t, w, t}, duration);
        }
        if (!values->second) continue;
        const double given = bears(s, side, part, *values->second);
        if (push / given > most) most = push / given, demand = push, capacity = given, when = &c, gives = &side;
      }
    }
    if (when == nullptr) continue;
    std::vector<Body> both;
    for (const Body b : {joint.a, joint.b})
      if (b.kind == Body::Kind::piece) both.push_back(b);
    Check c = new_check(CheckKind::bearing, both);
    c.joint = bearing.joint;
    c.place = joint.point;
    c.demand = demand / 1000, c.capacity = capacity / 1000, c.unit = "kN";
    c.utilisation = most, c.verdict = verdict_of(most), c.when = when->when;
    c.source = s.us()
                   ? "NDS 3.10.2–3.10.4, on what is pressed: EN 1997-1 D.4, by analogy"
                   : "EN 1995-1-1 6.1.5 (6.3), kc,90 = 1; 6.2.2 (6.16) where askew; on what is pressed: EN 1997-1 D.4, "
                     "by analogy";
    c.plain = fmt::format("{:.0f} % of what the wood of {} bears where they press on each other is asked.{}",
                          100 * most, describe(s.structure, body(gives->piece)),
                          most > 1 ? " Give them more to lie on, or take harder wood." : "");
    const auto [at, is_new] = worst.try_emplace(key_of(c, s.structure), c);
    if (!is_new && c.utilisation > at->second.utilisation) at->second = std::move(c);
  }
  for (auto& [_, c] : worst) checks.push_back(std::move(c));
}

}  // namespace garthwright::strength
