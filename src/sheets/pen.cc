// SPDX-License-Identifier: Apache-2.0
#include "sheets/pen.h"

#include <algorithm>
#include <cmath>

#include "base/geometry.h"

namespace garthwright::sheets {

namespace {

Path through(const Outline& points, bool closed) {
  Path path;
  for (const Point p : points) {
    path.steps.push_back({path.steps.empty() ? Path::Step::Kind::move : Path::Step::Kind::line, p, {}, {}});
  }
  if (closed && !points.empty()) path.steps.push_back({Path::Step::Kind::close, points.front(), {}, {}});
  return path;
}

void gather(const Items& items, std::vector<const Text*>& found) {
  for (const Item& item : items) {
    if (const auto* text = std::get_if<Text>(&item.value)) found.push_back(text);
    if (const auto* group = std::get_if<Group>(&item.value)) gather(group->items, found);
  }
}

}  // namespace

std::vector<double> dash_pattern(Dash dash) {
  switch (dash) {
    case Dash::solid:
      return {};
    case Dash::dashed:
      return {1.6, 0.8};
    case Dash::chain:
      return {5, 0.9, 0.6, 0.9};
  }
  return {};
}

std::vector<const Text*> all_text(const Sheet& sheet) {
  std::vector<const Text*> found;
  gather(sheet.items, found);
  return found;
}

void line(Items& items, Point from, Point to, double weight, Dash dash) { polyline(items, {from, to}, weight, dash); }

void polyline(Items& items, const Outline& points, double weight, Dash dash) {
  items.push_back({Stroke{through(points, false), weight, dash}});
}

void outline(Items& items, const Outline& points, double weight, Dash dash) {
  items.push_back({Stroke{through(points, true), weight, dash}});
}

void box(Items& items, const Rect& rect, double weight, Dash dash) { outline(items, corners(rect), weight, dash); }

void circle(Items& items, Point centre, double radius, double weight, Dash dash) {
  items.push_back({Stroke{circle_path(centre, radius), weight, dash}});
}

void fill(Items& items, const Outline& points, double ink) { items.push_back({Fill{through(points, true), ink}}); }

void fill_circle(Items& items, Point centre, double radius, double ink) {
  items.push_back({Fill{circle_path(centre, radius), ink}});
}

Outline corners(const Rect& r) { return {{r.left, r.top}, {r.right, r.top}, {r.right, r.bottom}, {r.left, r.bottom}}; }

Path circle_path(Point c, double r) {
  // Four cubics; the handle length keeps the circle within 0.03 % of the radius.
  const double k = 0.5522847498 * r;
  using Kind = Path::Step::Kind;
  return {{{Kind::move, {c.x + r, c.y}, {}, {}},
           {Kind::cubic, {c.x, c.y + r}, {c.x + r, c.y + k}, {c.x + k, c.y + r}},
           {Kind::cubic, {c.x - r, c.y}, {c.x - k, c.y + r}, {c.x - r, c.y + k}},
           {Kind::cubic, {c.x, c.y - r}, {c.x - r, c.y - k}, {c.x - k, c.y - r}},
           {Kind::cubic, {c.x + r, c.y}, {c.x + k, c.y - r}, {c.x + r, c.y - k}},
           {Kind::close, {c.x + r, c.y}, {}, {}}}};
}

void hatch(Items& items, const std::vector<Outline>& outlines, double spacing, double angle_deg, double weight) {
  const Point along{cosd(angle_deg), -sind(angle_deg)}, across{sind(angle_deg), cosd(angle_deg)};
  const auto offset = [&](Point p) { return p.x * across.x + p.y * across.y; };
  const auto place = [&](Point p) { return p.x * along.x + p.y * along.y; };
  double least = 1e9, most = -1e9;
  for (const Outline& points : outlines) {
    for (const Point p : points) {
      least = std::min(least, offset(p));
      most = std::max(most, offset(p));
    }
  }
  Path strokes;
  std::vector<double> crossings;
  // Half a step off the lattice, so that no hatch line falls on an edge drawn on a whole millimetre.
  for (double level = (std::floor(least / spacing) + 0.5) * spacing; level < most; level += spacing) {
    if (level <= least) continue;
    crossings.clear();
    for (const Outline& points : outlines) {
      for (std::size_t i = 0; i < points.size(); ++i) {
        const Point a = points[i], b = points[(i + 1) % points.size()];
        const double da = offset(a) - level, db = offset(b) - level;
        if ((da < 0) == (db < 0)) continue;
        const double t = da / (da - db);
        crossings.push_back(place(a) + t * (place(b) - place(a)));
      }
    }
    std::sort(crossings.begin(), crossings.end());
    for (std::size_t i = 0; i + 1 < crossings.size(); i += 2) {
      if (crossings[i + 1] - crossings[i] < 0.05) continue;
      strokes.steps.push_back({Path::Step::Kind::move, crossings[i] * along + level * across, {}, {}});
      strokes.steps.push_back({Path::Step::Kind::line, crossings[i + 1] * along + level * across, {}, {}});
    }
  }
  if (!strokes.steps.empty()) items.push_back({Stroke{std::move(strokes), weight, Dash::solid}});
}

void line_clear_of(Items& items, Point a, Point b, const std::vector<Rect>& boxes, double weight, Dash dash) {
  const Point d = b - a;
  const double length = std::hypot(d.x, d.y);
  if (length < 0.3) return;
  std::vector<std::pair<double, double>> holes;  // parts of the stroke, 0 … 1, within a box
  for (const Rect& r : boxes) {
    const Rect g = r.grown(0.6);
    double enter = 0, leave = 1;
    const auto cut = [&](double from, double speed, double low, double high) {
      if (speed == 0) {
        if (from <= low || from >= high) leave = -1;
        return;
      }
      const double t0 = (low - from) / speed, t1 = (high - from) / speed;
      enter = std::max(enter, std::min(t0, t1));
      leave = std::min(leave, std::max(t0, t1));
    };
    cut(a.x, d.x, g.left, g.right);
    cut(a.y, d.y, g.top, g.bottom);
    if (enter < leave) holes.emplace_back(enter, leave);
  }
  std::sort(holes.begin(), holes.end());
  double from = 0;
  const auto piece = [&](double p, double q) {
    if ((q - p) * length >= 0.3) line(items, a + p * d, a + q * d, weight, dash);
  };
  for (const auto& [p, q] : holes) {
    piece(from, p);
    from = std::max(from, q);
  }
  piece(from, 1);
}

Rect write(Items& items, std::string_view words, Point at, double size, Lettering lettering, int align,
           double turn_deg) {
  Text text = lettered(words, at, size, lettering, align, turn_deg);
  const Rect ink = text.ink;
  if (!text.words.empty()) items.push_back({std::move(text)});
  return ink;
}

double write_block(Items& items, std::string_view words, Point top_left, double width, double size, Lettering lettering,
                   double leading) {
  double y = top_left.y;
  for (const std::string& text : wrapped(words, width, size, lettering)) {
    write(items, text, {top_left.x, y + kCapHeight * size}, size, lettering);
    y += leading * size;
  }
  return y;
}

double block_height(std::string_view words, double width, double size, Lettering lettering, double leading) {
  return static_cast<double>(wrapped(words, width, size, lettering).size()) * leading * size;
}

}  // namespace garthwright::sheets
