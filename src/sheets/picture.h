// SPDX-License-Identifier: Apache-2.0
//
// A projected drawing of a structure, put on the page.
#pragma once

#include <vector>

#include "sheets/pen.h"
#include "solid/solid.h"

namespace garthwright::sheets {

/// Lines of a view, and where the world lies in it. Picture coordinates: mm of the real thing, x right, y up.
struct Picture {
  solid::View view;
  std::vector<solid::Line> lines;
  double left = 0, right = 0, low = 0, high = 0;  ///< bounds of the lines

  double width() const { return right - left; }
  double height() const { return high - low; }
};

Picture take_picture(const solid::Solids& solids, const solid::View& view, bool with_hidden);

/// Right in the picture, as a world direction.
Vec3 rightwards(const solid::View& view);

/// From picture coordinates to the page: a scale and the page's place of the picture's (left, high) corner.
struct OnPage {
  double reduction = 1;
  double left = 0, high = 0;  ///< picture coordinates
  Point top_left;             ///< on the page

  double x(double u) const { return top_left.x + (u - left) / reduction; }
  double y(double v) const { return top_left.y + (high - v) / reduction; }
  Point operator()(double u, double v) const { return {x(u), y(v)}; }
};

/// Draws the picture. Lines lower than `ground` (picture coordinates) are dashed: they are in the earth.
void draw_picture(Items& items, const Picture& picture, const OnPage& place, const double* ground = nullptr);

/// The ground as a heavy line with strokes of earth below it, from x to x on the page.
void draw_ground(Items& items, double from, double to, double y);

}  // namespace garthwright::sheets
