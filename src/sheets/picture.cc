// SPDX-License-Identifier: Apache-2.0
#include "sheets/picture.h"

#include <algorithm>

namespace garthwright::sheets {

Vec3 rightwards(const solid::View& view) { return cross(view.forward, view.up); }

Picture take_picture(const solid::Solids& solids, const solid::View& view, bool with_hidden) {
  Picture picture{view, solids.project(view, with_hidden), 0, 0, 0, 0};
  bool first = true;
  for (const solid::Line& l : picture.lines) {
    for (const auto& [u, v] : l.points) {
      picture.left = first ? u : std::min(picture.left, u);
      picture.right = first ? u : std::max(picture.right, u);
      picture.low = first ? v : std::min(picture.low, v);
      picture.high = first ? v : std::max(picture.high, v);
      first = false;
    }
  }
  return picture;
}

namespace {

// The parts of a line above and below a level, cut where it crosses.
void split(const std::vector<std::array<double, 2>>& points, double level,
           std::vector<std::vector<std::array<double, 2>>>& above,
           std::vector<std::vector<std::array<double, 2>>>& below) {
  std::vector<std::array<double, 2>> run;
  bool is_above = true;
  const auto flush = [&] {
    if (run.size() > 1) (is_above ? above : below).push_back(run);
    run.clear();
  };
  for (std::size_t i = 0; i + 1 < points.size(); ++i) {
    const auto a = points[i], b = points[i + 1];
    const bool a_above = a[1] >= level - 1e-6, b_above = b[1] >= level - 1e-6;
    if (run.empty()) {
      // A level line on the ground belongs to what stands on it; a run that begins on it follows its other end.
      is_above = a[1] > level + 1e-6 || (a_above && b_above);
      run.push_back(a);
    }
    if (a_above != b_above && std::abs(a[1] - level) > 1e-6 && std::abs(b[1] - level) > 1e-6) {
      const double t = (level - a[1]) / (b[1] - a[1]);
      const std::array<double, 2> m{a[0] + t * (b[0] - a[0]), level};
      run.push_back(m);
      flush();
      is_above = b_above;
      run.push_back(m);
    }
    run.push_back(b);
  }
  flush();
}

}  // namespace

void draw_picture(Items& items, const Picture& picture, const OnPage& place, const double* ground) {
  Group group{"picture", {}};
  const auto draw = [&](const std::vector<std::array<double, 2>>& points, double weight, Dash dash) {
    Outline on_page;
    for (const auto& [u, v] : points) {
      const Point p = place(u, v);
      // Points closer than a hundredth of a millimetre print as one.
      if (!on_page.empty() && std::abs(p.x - on_page.back().x) + std::abs(p.y - on_page.back().y) < 0.01 &&
          &points.back()[0] != &u) {
        continue;
      }
      on_page.push_back(p);
    }
    if (on_page.size() > 1) polyline(group.items, on_page, weight, dash);
  };
  for (const bool visible : {false, true}) {
    for (const solid::Line& l : picture.lines) {
      if (l.visible != visible) continue;
      const double weight = visible ? kMedium : kHair;
      const Dash dash = visible ? Dash::solid : Dash::dashed;
      if (ground == nullptr) {
        draw(l.points, weight, dash);
        continue;
      }
      std::vector<std::vector<std::array<double, 2>>> above, below;
      split(l.points, *ground, above, below);
      for (const auto& run : above) draw(run, weight, dash);
      for (const auto& run : below) draw(run, kHair, Dash::dashed);
    }
  }
  items.push_back({std::move(group)});
}

void draw_ground(Items& items, double from, double to, double y) {
  Group group{"ground", {}};
  line(group.items, {from, y}, {to, y}, kHeavy);
  for (double x = from + 2; x + 1 < to; x += 9) {
    for (int i = 0; i < 3; ++i) line(group.items, {x + i * 1.3, y + 0.4}, {x + i * 1.3 - 1.5, y + 1.9}, kHair);
  }
  items.push_back({std::move(group)});
}

}  // namespace garthwright::sheets
