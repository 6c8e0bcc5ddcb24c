// SPDX-License-Identifier: Apache-2.0
//
// Full-size templates of shaped ends: a page of what one must know (check squares, ordinates, map of the tiles), then
// the curve itself, on as many tiles as it takes.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sheets/flow.h"
#include "sheets/kinds.h"
#include "sheets/shaped_path.h"
#include "sheets/sheets.h"

namespace garthwright::sheets {

namespace {

constexpr double kOverlap = 10;  // of neighbouring tiles
constexpr double kRuler = 9;     // room for the check rulers, right of and below a tile
constexpr double kHead = 9;      // room for a tile's heading

using marking::Template;

struct Run {
  Outline points;
  double weight;
  Dash dash = Dash::solid;
};

// How much of the timber a template shows: the shape, the nearest notch, and room for words.
double far_end(const Template& t) {
  return (t.shoulders.empty() ? t.reach : std::max(t.reach, t.shoulders.front())) + 62;
}

// The template's linework, full size.
std::vector<Run> linework(const Template& t, double far) {
  std::vector<Run> runs;
  Items hatched;
  const Outline cut = points_of(t.path, 0.01);
  Outline waste = cut;
  waste.push_back({0, cut.back().y});
  waste.push_back({0, t.width});
  waste.push_back({cut.front().x, t.width});
  hatch(hatched, {waste}, 4, 45);
  for (const Item& item : hatched) {
    Outline points;
    for (const Path::Step& step : std::get<Stroke>(item.value).path.steps) {
      points.push_back(step.to);
      if (points.size() == 2) {
        runs.push_back({points, kHair});
        points.clear();
      }
    }
  }
  runs.push_back({{{far, 0}, {0, 0}}, kMedium});
  runs.push_back({{{far, t.width}, {0, t.width}}, kMedium});
  runs.push_back({{{0, 0}, {0, t.width}}, kMedium});
  runs.push_back({{{-4, t.width / 2}, {far, t.width / 2}}, kHair, Dash::chain});
  runs.push_back({{{t.reach, -4}, {t.reach, t.width + 4}}, kHair, Dash::chain});
  if (!t.shoulders.empty())
    runs.push_back({{{t.shoulders.front(), -4}, {t.shoulders.front(), t.width + 4}}, kHair, Dash::dashed});
  if (t.easier) runs.push_back({points_of(*t.easier, 0.01), kThick, Dash::dashed});
  runs.push_back({cut, kHeavy});
  if (cut.back().y > 0.01) runs.push_back({{cut.back(), {cut.back().x, 0}}, kHeavy});
  return runs;
}

struct Tiling {
  Turned turned = Turned::landscape;
  int across = 1, down = 1;
  double width = 0, height = 0;  // of a tile's window
};

Tiling tiling(const Brief& brief, double width, double height) {
  Tiling best;
  int least = 1 << 20;
  for (const Turned turned : {Turned::landscape, Turned::portrait}) {
    const Rect area = drawing_area(new_sheet(brief, "", "", turned));
    Tiling t{turned, 1, 1, area.width() - kRuler, area.height() - kHead - kRuler};
    t.across = std::max(1, static_cast<int>(std::ceil((width - kOverlap) / (t.width - kOverlap))));
    t.down = std::max(1, static_cast<int>(std::ceil((height - kOverlap) / (t.height - kOverlap))));
    if (t.across * t.down < least) {
      least = t.across * t.down;
      best = t;
    }
  }
  return best;
}

std::string tile_name(int column, int row) {
  return fmt::format("{}{}", static_cast<char>('A' + row % 26), column + 1);
}

void draw_ruler(Items& items, Point from, bool upright, double length, int parts, const std::string& words) {
  const auto at = [&](double along, double off) {
    return upright ? Point{from.x + off, from.y + along} : Point{from.x + along, from.y + off};
  };
  line(items, at(0, 0), at(length, 0), kHair);
  for (int i = 0; i <= parts; ++i) {
    line(items, at(length * i / parts, -1.2), at(length * i / parts, i % parts == 0 ? 1.2 : 0), kHair);
  }
  if (words.empty()) return;
  write(items, words, at(length + 1.5, upright ? 0.9 : 0.9), kDrawn, Lettering::plain, upright ? 1 : -1,
        upright ? 90 : 0);
}

void draw_check_squares(Items& items, Point corner) {
  box(items, {corner.x, corner.y, corner.x + 101.6, corner.y + 101.6}, kHair);
  box(items, {corner.x, corner.y, corner.x + 100, corner.y + 100}, kHair);
  const double middle = corner.x + 50;
  write(items, "check squares", {middle, corner.y + 42}, kDrawn, Lettering::bold, 0);
  write(items, "inner: 100 mm each way", {middle, corner.y + 49}, kDrawn, Lettering::plain, 0);
  write(items, "outer: 4 in each way", {middle, corner.y + 54}, kDrawn, Lettering::plain, 0);
  write(items, "Measure both ways before you cut.", {middle, corner.y + 62}, kDrawn, Lettering::plain, 0);
  write(items, "If they are wrong, print at 100 %", {middle, corner.y + 66}, kDrawn, Lettering::plain, 0);
  write(items, "(no fitting to the page).", {middle, corner.y + 70}, kDrawn, Lettering::plain, 0);
}

void draw_map(Items& items, const Tiling& t, const Rect& room) {
  const double width = t.across * (t.width - kOverlap), height = t.down * (t.height - kOverlap);
  const double reduction = std::max({width / room.width(), height / (room.height() - 6), 1.0});
  write(items, "map of the tiles", {room.left, room.top + 3}, kDrawn, Lettering::bold);
  for (int row = 0; row < t.down; ++row) {
    for (int column = 0; column < t.across; ++column) {
      const Rect r{room.left + column * (t.width - kOverlap) / reduction,
                   room.top + 5 + row * (t.height - kOverlap) / reduction,
                   room.left + (column + 1) * (t.width - kOverlap) / reduction,
                   room.top + 5 + (row + 1) * (t.height - kOverlap) / reduction};
      box(items, r, kHair);
      write(items, tile_name(column, row), {r.centre().x, r.centre().y + 1}, kDrawn, Lettering::bold, 0);
    }
  }
}

void draw_data_page(std::vector<Sheet>& sheets, const Brief& brief, const Template& t, const Tiling& tiles) {
  Flow flow(sheets, brief, "templates", "Template for " + t.mark, Turned::portrait, kPageOfItsOwn);
  flow.scale("full size");
  flow.paragraph(
      fmt::format("{}, {}: {} ends. Turn it over for the other end. The edge at the top of the template stays "
                  "whole; the tip of the timber is at the left.",
                  t.name, t.profile, t.count));
  flow.paragraph(t.saw);
  for (const std::string& line : t.attention) flow.paragraph(line, kBody, Lettering::bold);
  flow.down(3);
  const double top = flow.y();
  draw_check_squares(flow.items(), {flow.area().left, top});
  draw_map(flow.items(), tiles, {flow.area().left + 110, top, flow.area().right, top + 100});
  flow.down(108);
  flow.heading("Ordinates, for those who set it out without a printer");
  flow.paragraph(
      "From the tip along the whole edge; square across from it down to the line. Join them with a bent lath.");
  flow.down(1.5);
  Table table;
  table.columns = {{"From tip", 1}, {"To the line", 1}, {"", 1},           {"From tip", 1}, {"To the line", 1},
                   {"", 1},         {"From tip", 1},    {"To the line", 1}};
  table.leading = 1.6;
  std::vector<std::pair<std::string, std::string>> cells;
  for (const marking::Ordinate& o : marking::ordinate_table(t, marking::ordinate_step(brief.lengths.style.units))) {
    std::string words;
    for (const double y : o.to_line) words += (words.empty() ? "" : " and ") + brief.lengths.brief(y);
    cells.emplace_back(brief.lengths.brief(o.station), words);
  }
  const std::size_t rows = (cells.size() + 2) / 3;
  for (std::size_t r = 0; r < rows; ++r) {
    Row row;
    for (std::size_t c = 0; c < 3; ++c) {
      const std::size_t i = c * rows + r;
      if (c > 0) row.cells.push_back("        ");
      row.cells.push_back(i < cells.size() ? cells[i].first : "");
      row.cells.push_back(i < cells.size() ? cells[i].second : "");
    }
    table.rows.push_back(std::move(row));
  }
  lay(flow, table);
}

void draw_tile(std::vector<Sheet>& sheets, const Brief& brief, const Template& t, const Tiling& tiles,
               const std::vector<Run>& runs, Point origin, int column, int row) {
  Sheet sheet = new_sheet(brief, "templates", "Template for " + t.mark, tiles.turned);
  sheet.scale = "full size";
  const Rect area = drawing_area(sheet);
  const Rect window{area.left, area.top + kHead, area.left + tiles.width, area.top + kHead + tiles.height};
  // From the template's own coordinates to this page.
  const Point shift{window.left + origin.x - column * (tiles.width - kOverlap),
                    window.top + origin.y - row * (tiles.height - kOverlap)};
  const bool several = tiles.across * tiles.down > 1;
  std::string head = fmt::format("{}  {}, {}", t.mark, t.name, t.profile);
  if (several) head += fmt::format(", tile {}", tile_name(column, row));
  write(sheet.items, shortened(head, area.width(), 4.4, Lettering::bold), {area.left, area.top + kCapHeight * 4.4}, 4.4,
        Lettering::bold);

  Group drawing{"template", {}};
  for (const Run& run : runs) {
    Outline on_page;
    for (const Point p : run.points) on_page.push_back(p + shift);
    for (const Outline& part : clipped(on_page, window)) polyline(drawing.items, part, run.weight, run.dash);
  }
  const auto label = [&](const std::string& words, Point at, int align) {
    const auto set = [&](double down) {
      return lettered(words, at + shift + Point{0, down}, kDrawn, Lettering::plain, align);
    };
    const Rect ink = set(0).ink;
    if (ink.left <= window.left || ink.right >= window.right || ink.top <= window.top || ink.bottom >= window.bottom)
      return;
    // Beside the strip that is glued over the next tile, where the register marks are.
    double down = 0;
    if (row > 0) down = std::max(down, window.top + kOverlap - ink.top);
    if (row + 1 < tiles.down) down = std::min(down, window.bottom - kOverlap - ink.bottom);
    drawing.items.push_back({set(down)});
  };
  label("this edge stays whole", {t.reach + 3, 5}, -1);
  label("centre line", {t.reach + 3, t.width / 2 - 1.2}, -1);
  label(fmt::format("reference line: {} from the tip", brief.lengths(t.reach)), {t.reach + 3, t.width * 0.75}, -1);
  if (!t.shoulders.empty()) {
    label(fmt::format("notch: {} from the tip", brief.lengths(t.shoulders.front())),
          {t.shoulders.front() + 2, t.width * 0.25}, -1);
  }
  sheet.items.push_back({std::move(drawing)});

  Group register_marks{"register", {}};
  const auto cross_at = [&](Point p) {
    line(register_marks.items, {p.x - 4, p.y}, {p.x + 4, p.y}, kHair);
    line(register_marks.items, {p.x, p.y - 4}, {p.x, p.y + 4}, kHair);
    circle(register_marks.items, p, 2, kHair);
  };
  for (const double part : {0.25, 0.75}) {
    const double y = window.top + part * tiles.height, x = window.left + part * tiles.width;
    if (column > 0) cross_at({window.left + kOverlap / 2, y});
    if (column + 1 < tiles.across) cross_at({window.right - kOverlap / 2, y});
    if (row > 0) cross_at({x, window.top + kOverlap / 2});
    if (row + 1 < tiles.down) cross_at({x, window.bottom - kOverlap / 2});
  }
  if (several) box(register_marks.items, window, kHair, Dash::dashed);
  draw_ruler(register_marks.items, {window.left, window.bottom + 5}, false, 100, 10, "100 mm");
  draw_ruler(register_marks.items, {window.left + 125, window.bottom + 5}, false, 101.6 / 2, 4, "2 in");
  draw_ruler(register_marks.items, {window.right + 5, window.top}, true, 100, 10, "100 mm");
  sheet.items.push_back({std::move(register_marks)});
  sheets.push_back(std::move(sheet));
}

}  // namespace

Sheet draw_template(const Template& t, const Lengths& lengths) {
  constexpr double kAround = 8, kFoot = 16;
  const double far = far_end(t);
  Sheet sheet{"template", "Template for " + t.mark, "full size", far + 2 * kAround, t.width + kAround + kFoot, {}};
  const Point shift{kAround, kAround};
  Group drawing{"template", {}};
  for (const Run& run : linework(t, far)) {
    Outline points;
    for (const Point p : run.points) points.push_back(p + shift);
    polyline(drawing.items, points, run.weight, run.dash);
  }
  sheet.items.push_back({std::move(drawing)});
  const double base = kAround + t.width + 8.5;
  write(sheet.items, shortened(fmt::format("{} {}, {}: full size", t.mark, t.name, t.profile), far - 110, kBody),
        {kAround + 108, base}, kBody);
  draw_ruler(sheet.items, {kAround, base - 1}, false, 100, 10, "");
  write(sheet.items, lengths.style.units == Units::mm ? "100 mm" : "100 mm, 3 15/16 in", {kAround, base + 4.5}, kNote);
  return sheet;
}

void draw_templates(std::vector<Sheet>& sheets, const Brief& brief) {
  for (const Template& t : brief.plan.marking.templates) {
    const double far = far_end(t);
    const Point origin{6, 6};
    const Tiling tiles = tiling(brief, far + 2 * origin.x, t.width + 2 * origin.y);
    draw_data_page(sheets, brief, t, tiles);
    const std::vector<Run> runs = linework(t, far);
    for (int row = 0; row < tiles.down; ++row) {
      for (int column = 0; column < tiles.across; ++column) {
        draw_tile(sheets, brief, t, tiles, runs, origin, column, row);
      }
    }
  }
}

}  // namespace garthwright::sheets
