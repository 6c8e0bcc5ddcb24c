// SPDX-License-Identifier: Apache-2.0
//
// A small stand built by hand, for tests and benchmarks: two posts with a rail and a panel between them, a beam on top
// with rafters halved over it, and a brace mitred between post and beam. Sizes are invented.
//
//          ║  ║  ║  ║          rafters, along y, halved 20 mm over the beam
//      (══════════════════)    beam, ends a quarter round
//         ║ ╱          ║
//         ║╱    rail   ║
//         ║════════════║
//         ║   panel    ║
#pragma once

#include <fmt/core.h>

#include "structure/structure.h"

namespace garthwright::solid::example {

inline constexpr double kPostWide = 120, kThick = 45, kPostTall = 2400, kGap = 1500;
inline constexpr double kBeamWide = 145, kBeamLong = 2000, kBeamFrom = (2 * kThick + kGap - kBeamLong) / 2;
inline constexpr double kRafterWide = 95, kRafterLong = 1100, kHalf = 20;
inline constexpr double kBraceWide = 70, kLeg = 400;

inline Piece piece(std::string name, std::string mark, Role role, double length, double width, Frame frame) {
  Piece p;
  p.name = std::move(name);
  p.mark = std::move(mark);
  p.role = role;
  p.length = length;
  p.width = width;
  p.thickness = kThick;
  p.frame = frame;
  return p;
}

/// Upright at x, its width along y.
inline Frame upright(double x) { return {{x + kThick, 0, 0}, {0, 0, 1}, {0, 1, 0}, {-1, 0, 0}}; }
/// Along x from (x, z), its width up, its thickness in y from `y` on.
inline Frame along_x(double x, double y, double z) { return {{x, y + kThick, z}, {1, 0, 0}, {0, 0, 1}, {0, -1, 0}}; }
/// Along y from (x, y, z), its width up, its thickness in x.
inline Frame along_y(double x, double y, double z) { return {{x, y, z}, {0, 1, 0}, {0, 0, 1}, {1, 0, 0}}; }

/// From the lower edge of the end, a quarter circle of radius r up and outwards to the upper edge.
inline ShapedEnd quarter_round(End end, double length, double width, double r) {
  ShapedEnd shaped{end, "quarter round", 0, 0, {}};
  const double tip = end == End::finish ? length : 0, in = end == End::finish ? length - r : r;
  shaped.start_x = in;
  Stroke curve{Stroke::Kind::arc, tip, r};
  curve.centre_x = in;
  curve.centre_y = r;
  curve.clockwise = end == End::start;
  shaped.strokes.push_back(curve);
  if (r < width) shaped.strokes.push_back({Stroke::Kind::line, tip, width});
  return shaped;
}

inline Notch notch(Box region, Face opens_on) {
  Notch n;
  n.region = region;
  n.opens_on = opens_on;
  return n;
}

inline Structure stand(int rafters = 4) {
  Structure s;
  s.name = "stand";
  const double y = (kPostWide - kThick) / 2;  // the beam over the middle of the posts
  s.pieces.push_back(piece("left post", "A1", Role::post, kPostTall, kPostWide, upright(0)));
  s.pieces.push_back(piece("right post", "A1", Role::post, kPostTall, kPostWide, upright(kThick + kGap)));
  s.pieces.push_back(piece("rail", "B1", Role::rail, kGap, 95, along_x(kThick, y, 1000)));

  Piece beam = piece("beam", "C1", Role::beam, kBeamLong, kBeamWide, along_x(kBeamFrom, y, kPostTall));
  beam.machining.push_back(quarter_round(End::start, kBeamLong, kBeamWide, 100));
  beam.machining.push_back(quarter_round(End::finish, kBeamLong, kBeamWide, 100));
  const double top = kPostTall + kBeamWide;
  for (int k = 0; k < rafters; ++k) {
    const double x = kBeamFrom + 150 + k * (kBeamLong - 300 - kThick) / std::max(1, rafters - 1), at = x - kBeamFrom;
    beam.machining.push_back(notch({{at, kBeamWide - kHalf, 0}, {at + kThick, kBeamWide, kThick}}, Face::edge_high));
    Piece rafter = piece(fmt::format("rafter {}", k + 1), "D1", Role::rafter, kRafterLong, kRafterWide,
                         along_y(x, kPostWide / 2 - kRafterLong / 2, top - 2 * kHalf));
    const double over = kRafterLong / 2 - kThick / 2;
    rafter.machining.push_back(notch({{over, 0, 0}, {over + kThick, kHalf, kThick}}, Face::edge_low));
    s.pieces.push_back(rafter);
  }
  s.pieces.push_back(beam);

  const double r = std::sqrt(0.5), length = kLeg * std::sqrt(2.0);
  Frame brace_frame{{kThick, y + kThick, kPostTall - kLeg}, {r, 0, r}, {-r, 0, r}, {0, -1, 0}};
  Piece brace = piece("brace", "E1", Role::brace, length, kBraceWide, brace_frame);
  brace.machining.push_back(EndCut{End::start, {0, 0, 0}, brace_frame.direction_to_local({-1, 0, 0})});
  brace.machining.push_back(EndCut{End::finish, {length, 0, 0}, brace_frame.direction_to_local({0, 0, 1})});
  brace.duties = {Duty::brace};
  s.pieces.push_back(brace);

  Panel panel;
  panel.name = "trellis";
  panel.width = kGap;
  panel.height = 800;
  panel.thickness = 20;
  panel.frame = {{kThick, y + kThick, 200}, {1, 0, 0}, {0, 0, 1}, {0, -1, 0}};
  s.panels.push_back(panel);
  return s;
}

/// The piece of that name.
inline Body find(const Structure& s, std::string_view name) {
  for (std::size_t i = 0; i < s.pieces.size(); ++i) {
    if (s.pieces[i].name == name) return body(PieceId{static_cast<int>(i)});
  }
  return kGround;
}

}  // namespace garthwright::solid::example
