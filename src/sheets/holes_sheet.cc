// SPDX-License-Identifier: Apache-2.0
//
// Where to dig: the holes from above with their spacing, both diagonals, and how to square the strings.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>

#include "base/us_customary.h"
#include "sheets/dimension.h"
#include "sheets/flow.h"
#include "sheets/kinds.h"
#include "sheets/measures.h"
#include "sheets/overlap.h"
#include "sheets/parts.h"
#include "sheets/picture.h"
#include "sheets/scale.h"

namespace garthwright::sheets {

namespace {

struct Hole {
  std::string letter;
  Vec3 centre;
  Box post;  // world
  double diameter = 0, depth = 0, gravel = 0;
  std::string fill;
};

// Lettered from the front left, along the front, then the next row back; holes that lie beside each other are one row.
std::vector<Hole> holes_of(const Structure& s) {
  std::vector<Hole> holes;
  for (const Footing& f : s.footings) {
    holes.push_back({"", f.centre, world_box(s, body(f.post)), f.diameter, f.depth, f.gravel, f.fill});
  }
  const auto along = [](const Hole& a, const Hole& b) { return a.centre.x < b.centre.x; };
  std::stable_sort(holes.begin(), holes.end(), [](const Hole& a, const Hole& b) { return a.centre.y < b.centre.y; });
  for (auto row = holes.begin(); row != holes.end();) {
    const auto next = std::find_if(
        row, holes.end(), [&](const Hole& h) { return h.centre.y > row->centre.y + std::max(1.0, row->diameter / 2); });
    std::stable_sort(row, next, along);
    row = next;
  }
  for (std::size_t i = 0; i < holes.size(); ++i) {
    holes[i].letter = i < 26 ? std::string(1, static_cast<char>('A' + i)) : fmt::format("A{}", i - 25);
  }
  return holes;
}

Chain chain_of(const std::vector<double>& at, const Lengths& lengths, const std::vector<double>& on_page) {
  Measured m = chain(at, lengths);
  if (at.front() > at.back()) {
    std::reverse(m.words.begin(), m.words.end());
    std::reverse(m.brief.begin(), m.brief.end());
  }
  return {on_page, std::move(m.words), std::move(m.brief)};
}

std::vector<double> distinct(std::vector<double> v) {
  std::sort(v.begin(), v.end());
  v.erase(std::unique(v.begin(), v.end(), [](double a, double b) { return std::abs(a - b) < 0.5; }), v.end());
  return v;
}

/// Four holes at the corners of a rectangle, front left first and round: the largest there is. Only of those are both
/// diagonals equal.
std::optional<std::array<Hole, 4>> rectangle_of(const std::vector<Hole>& holes) {
  const auto at = [&](double x, double y) {
    return std::find_if(holes.begin(), holes.end(),
                        [&](const Hole& h) { return std::abs(h.centre.x - x) < 1 && std::abs(h.centre.y - y) < 1; });
  };
  std::optional<std::array<Hole, 4>> best;
  double largest = 1;
  for (const Hole& a : holes)
    for (const Hole& c : holes) {
      const double area = (c.centre.x - a.centre.x) * (c.centre.y - a.centre.y);
      if (c.centre.x < a.centre.x || area < largest) continue;
      const auto b = at(c.centre.x, a.centre.y), d = at(a.centre.x, c.centre.y);
      if (b == holes.end() || d == holes.end()) continue;
      largest = area;
      best = {a, *b, c, *d};
    }
  return best;
}

double plan_distance(Vec3 a, Vec3 b) { return std::hypot(a.x - b.x, a.y - b.y); }

Vec3 outer_corner(const Hole& h, double right, double back) {
  return {right > 0 ? h.post.max.x : h.post.min.x, back > 0 ? h.post.max.y : h.post.min.y, 0};
}

/// Where a hole's letter stands: beside its circle on the side that looks away from the middle of all, clear of the
/// centre lines; where another hole, its letter or a diagonal is there, in the nearest place about it that is free.
Point free_place(const Hole& h, const std::vector<Hole>& holes, const OnPage& page, Point middle,
                 const std::vector<std::pair<Point, Point>>& diagonals, const std::vector<Rect>& written) {
  const Point c = page(h.centre.x, h.centre.y);
  const double r = h.diameter / 2 / page.reduction, wide = text_width(h.letter, 3.6, Lettering::bold);
  const auto is_free = [&](Point at) {
    const Rect words{at.x - wide / 2 - 0.3, at.y - 3, at.x + wide / 2 + 0.3, at.y + 0.5};
    const bool on_a_hole = std::any_of(holes.begin(), holes.end(), [&](const Hole& o) {
      const Point m = page(o.centre.x, o.centre.y);
      const double out = o.diameter / 2 / page.reduction, lines = out + 1.5;  // centre lines go beyond the circle
      const auto over = [&](double x, double y) { return meet(words, {m.x - x, m.y - y, m.x + x, m.y + y}); };
      return over(lines, 0.2) || over(0.2, lines) || (&o != &h && over(out, out));
    });
    const bool on_a_letter =
        std::any_of(written.begin(), written.end(), [&](const Rect& letter) { return meet(words, letter); });
    return !on_a_hole && !on_a_letter && std::none_of(diagonals.begin(), diagonals.end(), [&](const auto& line) {
      return passes(line.first, line.second, words);
    });
  };
  const bool at_right = h.centre.x > middle.x, at_back = h.centre.y > middle.y;
  const Point usual{c.x + (at_right ? 0.45 : -0.45) * r + (at_right ? 2.2 : -2.2),
                    c.y + (at_back ? -1 : 1) * (0.92 * r) + (at_back ? -1.4 : 3.8)};
  const auto others = [&] {
    return std::any_of(holes.begin(), holes.end(), [&](const Hole& o) {
      return &o != &h && plan_distance(o.centre, h.centre) < h.diameter / 2 + o.diameter / 2 + 8 * page.reduction;
    });
  };
  if (!others() || is_free(usual)) return usual;
  const double outwards = std::atan2(middle.y - h.centre.y, h.centre.x - middle.x);  // on the page y runs down
  for (double off = r + 2.6; off < r + 12; off += 1)
    for (int k = 0; k < 24; ++k) {
      const double turn = outwards + (k % 2 ? 1 : -1) * ((k + 1) / 2) * std::numbers::pi / 12;
      const Point at{c.x + off * std::cos(turn), c.y + off * std::sin(turn) + 1.3};
      if (is_free(at)) return at;
    }
  return usual;
}

void draw_plan(Items& items, const Brief& brief, const std::vector<Hole>& holes, const Rect& room,
               std::string& scale_words) {
  double left = 1e12, right = -1e12, front = 1e12, back = -1e12;
  for (const Hole& h : holes) {
    const double r = h.diameter / 2;
    left = std::min(left, h.centre.x - r);
    right = std::max(right, h.centre.x + r);
    front = std::min(front, h.centre.y - r);
    back = std::max(back, h.centre.y + r);
  }
  constexpr double kBelow = 27, kBeside = 30, kAround = 12;
  const Scale scale = scale_for(brief.lengths.style.units, right - left, back - front, room.width() - kBeside - kAround,
                                room.height() - kBelow - kAround);
  scale_words = scale.words;
  const double width = (right - left) / scale.reduction, height = (back - front) / scale.reduction;
  const OnPage page{scale.reduction,
                    left,
                    back,
                    {room.centre().x - (width + kBeside + kAround) / 2 + kAround,
                     room.centre().y - (height + kBelow + kAround) / 2 + kAround}};
  const Rect picture{page.x(left), page.y(back), page.x(right), page.y(front)};

  std::vector<std::pair<Point, Point>> diagonals;
  if (const auto corners = rectangle_of(holes)) {
    const auto& [a, b, c, d] = *corners;
    diagonals = {{page(a.centre.x, a.centre.y), page(c.centre.x, c.centre.y)},
                 {page(b.centre.x, b.centre.y), page(d.centre.x, d.centre.y)}};
    for (const auto& [from, to] : diagonals) line(items, from, to, kHair, Dash::chain);
  }
  std::vector<Rect> written;
  for (const Hole& h : holes) {
    const Point c = page(h.centre.x, h.centre.y);
    const double r = h.diameter / 2 / scale.reduction;
    circle(items, c, r, kMedium);
    box(items, {page.x(h.post.min.x), page.y(h.post.max.y), page.x(h.post.max.x), page.y(h.post.min.y)}, kThick);
    line(items, {c.x - r - 1.5, c.y}, {c.x + r + 1.5, c.y}, kHair, Dash::chain);
    line(items, {c.x, c.y - r - 1.5}, {c.x, c.y + r + 1.5}, kHair, Dash::chain);
    const Point letter = free_place(h, holes, page, {(left + right) / 2, (front + back) / 2}, diagonals, written);
    written.push_back(write(items, h.letter, letter, 3.6, Lettering::bold, 0).grown(0.4));
  }
  std::vector<double> xs, ys;
  for (const Hole& h : holes) {
    xs.push_back(h.centre.x);
    ys.push_back(h.centre.y);
  }
  xs = distinct(xs);
  ys = distinct(ys);
  std::vector<double> px, py;
  for (const double x : xs) px.push_back(page.x(x));
  std::reverse(ys.begin(), ys.end());
  for (const double y : ys) py.push_back(page.y(y));
  Tiers below{Side::below, {}}, beside{Side::right, {}};
  if (xs.size() > 1) below.chains.push_back(chain_of(xs, brief.lengths, px));
  if (xs.size() > 2) below.chains.push_back(chain_of({xs.front(), xs.back()}, brief.lengths, {px.front(), px.back()}));
  if (ys.size() > 1) beside.chains.push_back(chain_of(ys, brief.lengths, py));
  if (ys.size() > 2) beside.chains.push_back(chain_of({ys.front(), ys.back()}, brief.lengths, {py.front(), py.back()}));
  dimension(items, picture.grown(2.5), below, picture.left - 10, picture.right + 10);
  dimension(items, picture.grown(2.5), beside, picture.top - 4, picture.bottom + 4);
  write(items, "back", {picture.centre().x, picture.top - 5}, kDrawn, Lettering::plain, 0);
}

/// What the strings are measured from: the wall where there is one, else a string over the foremost holes; along it
/// from the leftmost.
struct BaseLine {
  double x = 0, y = 0;
  std::string words;
};

BaseLine base_line(const Structure& s, const std::vector<Hole>& holes) {
  const Hole& left = *std::min_element(holes.begin(), holes.end(),
                                       [](const Hole& a, const Hole& b) { return a.centre.x < b.centre.x - 0.5; });
  const Hole& front = *std::min_element(holes.begin(), holes.end(),
                                        [](const Hole& a, const Hole& b) { return a.centre.y < b.centre.y - 0.5; });
  for (const Joint& joint : s.joints) {
    if (joint.a != kWall && joint.b != kWall) continue;
    if (std::abs(joint.normal.y) < 0.9) continue;
    return {left.centre.x, joint.point.y,
            fmt::format("The base line is the face of the wall. Along it from opposite the middle of hole {} to the "
                        "right; off it square to the middle of each hole.",
                        left.letter)};
  }
  const bool from_front = std::abs(left.centre.y - front.centre.y) < 0.5;
  return {left.centre.x, front.centre.y,
          fmt::format("The base line is a string over the middle of hole {}, straight along the front, on pegs well "
                      "clear of the digging. Along it from {}the middle of hole {} to the right; off it square to the "
                      "middle of each hole.",
                      front.letter, from_front ? "" : "opposite ", left.letter)};
}

// Diagonals of the frames that are made flat, and what the panels in them allow.
void lay_frames(Flow& flow, const Brief& brief, const Structure& s) {
  Table table;
  table.columns = {
      {"", -1, false, true}, {"Frame"}, {"Wide", 1}, {"High", 1}, {"Both diagonals", 1}, {"May differ by", 1},
      {"Between", -1, true}};
  for (const marking::FlatFrame& f : brief.plan.marking.frames) {
    if (f.structure != s.name) continue;
    std::string differ = "", what = f.corners;
    if (f.panel_gap && *f.panel_gap < 0.5) {
      differ = "nothing";
      what += "; the panel fills its opening: let it square the frame";
    } else if (f.diagonals_differ) {
      differ = brief.lengths(std::floor(*f.diagonals_differ));
      what += fmt::format("; the panel has {} to spare", brief.lengths(std::round(*f.panel_gap)));
    }
    table.rows.push_back(
        {{"", f.name, brief.lengths(f.wide), brief.lengths(f.high), brief.lengths(f.diagonal), differ, what}});
  }
  if (table.rows.empty()) return;
  flow.down(2);
  flow.heading("Square each frame while it lies flat", 20);
  flow.paragraph(
      "Measure both diagonals from corner to corner; push the long one until they are equal, then fix a lath across "
      "until the frame stands.");
  flow.down(1);
  lay(flow, table);
}

}  // namespace

bool lay_hole_plan(Flow& flow, const Brief& brief, const Structure& s, double height) {
  const std::vector<Hole> holes = holes_of(s);
  if (holes.empty()) return false;
  flow.ensure(height);
  const Rect room{flow.area().left, flow.y() + 1, flow.area().right, flow.y() + height - 3};
  Group drawing{"holes", {}};
  std::string scale;
  draw_plan(drawing.items, brief, holes, room, scale);
  flow.scale(scale);
  flow.items().push_back({std::move(drawing)});
  flow.down(height);
  return true;
}

void lay_hole_table(Flow& flow, const Brief& brief, const Structure& s) {
  const std::vector<Hole> holes = holes_of(s);
  if (holes.empty()) return;
  const BaseLine base = base_line(s, holes);
  flow.paragraph(base.words);
  flow.down(1);
  Table table;
  table.columns = {{"", -1, false, true}, {"Hole"},    {"Along the line", 1}, {"Off the line", 1},
                   {"Across", 1},         {"Deep", 1}, {"Gravel below", 1},   {"Fill", -1, true}};
  for (const Hole& h : holes) {
    table.rows.push_back(
        {{"", h.letter, brief.lengths(h.centre.x - base.x), brief.lengths(std::abs(h.centre.y - base.y)),
          brief.lengths(h.diameter), brief.lengths(h.depth), brief.lengths(h.gravel), h.fill}});
  }
  lay(flow, table);
}

void draw_holes(std::vector<Sheet>& sheets, const Brief& brief) {
  for (const Structure& s : brief.plan.garden.structures) {
    const std::vector<Hole> holes = holes_of(s);
    if (holes.empty()) continue;
    const std::string of = brief.plan.garden.structures.size() > 1 ? s.name + ": holes" : "Holes";
    const bool drawn_before = has_kind(sheets, "outside");
    Flow flow(sheets, brief, "holes", of, Turned::portrait);
    if (drawn_before) {
      flow.paragraph("Where each hole is stands on the first sheets. Find buried services first.");
      flow.down(1);
    } else {
      flow.paragraph(
          "Seen from above, the front below. Sizes are between the centres of the posts. Find buried services first.");
      lay_hole_plan(flow, brief, s, 99);
    }

    if (const auto corners = rectangle_of(holes)) {
      const auto& [a, b, c, d] = *corners;
      Table table;
      table.columns = {{"Diagonal"}, {"Centre to centre", 1}, {"Outer corner to outer corner of the posts", 1}};
      table.rows.push_back({{a.letter + " to " + c.letter, brief.lengths(plan_distance(a.centre, c.centre)),
                             brief.lengths(plan_distance(outer_corner(a, -1, -1), outer_corner(c, 1, 1)))}});
      table.rows.push_back({{b.letter + " to " + d.letter, brief.lengths(plan_distance(b.centre, d.centre)),
                             brief.lengths(plan_distance(outer_corner(b, 1, -1), outer_corner(d, -1, 1)))}});
      lay(flow, table);
      flow.down(1);
    }
    const bool metric = brief.lengths.style.units == Units::mm;
    const double unit = metric ? 300 : kMmPerFoot;
    flow.paragraph(
        fmt::format("Square each corner by 3-4-5: from the corner mark {} on one string and {} on the other; "
                    "across, the marks are {} apart (double all three where there is room). Then make opposite "
                    "sides equal, then both diagonals, then look at the sides again.",
                    brief.lengths(3 * unit), brief.lengths(4 * unit), brief.lengths(5 * unit)));
    flow.down(2);
    if (!drawn_before) lay_hole_table(flow, brief, s);
    lay_frames(flow, brief, s);
  }
}

}  // namespace garthwright::sheets
