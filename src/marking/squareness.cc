// SPDX-License-Identifier: Apache-2.0
#include "marking/squareness.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace garthwright::marking {
namespace {

double part(const Vec3& v, int axis) { return axis == 0 ? v.x : axis == 1 ? v.y : v.z; }

int longest_axis(Vec3 v) {
  const std::array<double, 3> size{std::abs(v.x), std::abs(v.y), std::abs(v.z)};
  return static_cast<int>(std::max_element(size.begin(), size.end()) - size.begin());
}

std::string called(const Piece& piece) { return piece.mark.empty() ? piece.name : piece.name + " " + piece.mark; }

/// From the outer face of the first member to that of the last, among those that run along another axis.
struct Span {
  double low = 1e12, high = -1e12;
  double inner_low = 0, inner_high = 0;
  const Piece* first = nullptr;

  void add(const Piece& piece, const Box& box, int axis) {
    if (part(box.min, axis) < low) low = part(box.min, axis), inner_low = part(box.max, axis), first = &piece;
    if (part(box.max, axis) > high) high = part(box.max, axis), inner_high = part(box.min, axis);
  }
};

}  // namespace

std::vector<FlatFrame> flat_frames(const Garden& garden) {
  std::vector<FlatFrame> frames;
  for (const Structure& structure : garden.structures) {
    for (const Assembly& assembly : structure.assemblies) {
      if (!assembly.flat || assembly.bodies.empty()) continue;
      // The plane's normal is the axis that the members' lengths leave out.
      std::array<bool, 3> runs{};
      for (const Body b : assembly.bodies)
        if (b.kind == Body::Kind::piece)
          runs[static_cast<std::size_t>(longest_axis(structure[PieceId{b.index}].frame.x))] = true;
      if (std::count(runs.begin(), runs.end(), true) != 2) continue;  // no rectangle
      const int across = runs[0] ? 0 : 1, up = runs[2] ? 2 : 1;
      Span wide, high;
      for (const Body b : assembly.bodies) {
        if (b.kind != Body::Kind::piece) continue;
        const Piece& piece = structure[PieceId{b.index}];
        const Box box = world_box(structure, b);
        // Thin members behind a panel are no part of the rectangle.
        if (!piece.carries) continue;
        longest_axis(piece.frame.x) == up ? wide.add(piece, box, across) : high.add(piece, box, up);
      }
      // Two members side by side, a paired beam, span nothing between them.
      if (wide.inner_high <= wide.inner_low || high.inner_high <= high.inner_low) continue;
      FlatFrame frame;
      frame.structure = structure.name;
      frame.name = assembly.name;
      frame.wide = wide.high - wide.low;
      frame.high = high.high - high.low;
      frame.diagonal = std::hypot(frame.wide, frame.high);
      frame.corners = "outer faces of " + called(*wide.first) + " and " + called(*high.first);
      for (const Body b : assembly.bodies) {
        if (b.kind != Body::Kind::panel) continue;
        const Vec3 size = world_box(structure, b).size();
        const double gap = std::max(0.0, wide.inner_high - wide.inner_low - part(size, across));
        if (frame.panel_gap && *frame.panel_gap <= gap) continue;
        frame.panel_gap = gap;
        // A frame that leans by s over its height has diagonals √((w ± s)² + h²).
        const double lean = gap * frame.high / std::max(part(size, up), 1.0);
        frame.racking = gap;
        frame.diagonals_differ = std::hypot(frame.wide + lean, frame.high) - std::hypot(frame.wide - lean, frame.high);
      }
      frames.push_back(std::move(frame));
    }
  }
  return frames;
}

}  // namespace garthwright::marking
