// SPDX-License-Identifier: Apache-2.0
//
// Full-size templates of shaped ends: a page of what one must know (check squares, ordinates, map of the tiles), then
// the curve itself, on as many tiles as it takes.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "sheets/flow.h"
#include "sheets/kinds.h"
#include "sheets/shaped_path.h"
#include "structure/marks.h"

namespace garthwright::sheets {

namespace {

constexpr double kOverlap = 10;  // of neighbouring tiles
constexpr double kRuler = 9;     // room for the check rulers, right of and below a tile
constexpr double kHead = 9;      // room for a tile's heading

// One shape, as seen with its tip to the left: x from the tip, y down from the edge that stays whole.
struct Template {
  std::string mark, name, profile;
  int ends = 0;  // how many are cut by it, over all pieces of the mark
  double width = 0;
  double tip_from_datum = 0;
  bool at_start = true;
  Outline path;  // from the sawn edge to the tip
  double reach = 0;
  std::vector<double> shoulders;  // notches near by, from the tip
};

// The same shape, whichever end and edge it was cut at, has the same points here.
Outline from_tip(const ShapedEnd& shape, double length, double width) {
  Outline out = points_of(shape, 0.01);
  for (Point& p : out) p.x = shape.end == End::start ? p.x : length - p.x;
  if (out.front().x < out.back().x) std::reverse(out.begin(), out.end());
  if (out.front().y < out.back().y) {
    for (Point& p : out) p.y = width - p.y;
  }
  return out;
}

bool same_curve(const Outline& a, const Outline& b) {
  return a.size() == b.size() && std::equal(a.begin(), a.end(), b.begin(), [](Point p, Point q) {
           return std::abs(p.x - q.x) < 0.01 && std::abs(p.y - q.y) < 0.01;
         });
}

std::vector<Template> templates(const Plan& plan) {
  std::vector<Template> found;
  for (std::size_t i = 0; i < plan.structures.size(); ++i) {
    const Structure& s = plan.structures[i];
    for (const MarkGroup& group : marks(s)) {
      const Piece& piece = s[group.pieces.front()];
      const double length = piece.length.value(), width = piece.width.value();
      for (const Machining& m : piece.machining) {
        const auto* shape = std::get_if<ShapedEnd>(&m);
        if (shape == nullptr || shape->strokes.empty()) continue;
        Outline path = from_tip(*shape, length, width);
        const int count = static_cast<int>(group.pieces.size());
        const auto same = std::find_if(found.begin(), found.end(), [&](const Template& t) {
          return t.mark == group.mark && same_curve(t.path, path);
        });
        if (same != found.end()) {
          same->ends += count;
          continue;
        }
        Template t{group.mark,
                   piece.name,
                   shape->profile,
                   count,
                   width,
                   shape->end == End::start ? 0 : length,
                   shape->end == End::start,
                   std::move(path),
                   0,
                   {}};
        for (const Point p : t.path) t.reach = std::max(t.reach, p.x);
        for (const Machining& other : piece.machining) {
          const auto* notch = std::get_if<Notch>(&other);
          if (notch == nullptr) continue;
          const double at = t.at_start ? notch->region.min.x : length - notch->region.max.x;
          if (at >= 0 && at < t.reach + 120) t.shoulders.push_back(at);
        }
        std::sort(t.shoulders.begin(), t.shoulders.end());
        t.shoulders.resize(std::min<std::size_t>(t.shoulders.size(), 1));
        found.push_back(std::move(t));
      }
    }
  }
  return found;
}

// The tightest bend of a smooth run of points, mm; corners (sharper than 20°) are no bends: the saw stops there.
double smallest_radius(const Outline& path) {
  double least = 1e9;
  for (std::size_t i = 1; i + 1 < path.size(); ++i) {
    const Point a = path[i] - path[i - 1], b = path[i + 1] - path[i];
    const double la = std::hypot(a.x, a.y), lb = std::hypot(b.x, b.y);
    if (la < 1e-6 || lb < 1e-6) continue;
    const double turn = std::abs(std::atan2(a.x * b.y - a.y * b.x, a.x * b.x + a.y * b.y));
    if (turn > 0.35 || turn < 1e-6) continue;
    // Where a straight run meets a curve only half of the turn is the curve's; the middle of a curve tells the truth.
    least = std::min(least, (la + lb) / 2 / turn);
  }
  return least;
}

// Widest bandsaw blade that follows a radius: tables printed with bandsaws (see docs/references.md, blade makers'
// radius tables; where they differ, the more careful figure).
struct Blade {
  double width_mm, radius_mm;
  const char* inches;
};
constexpr std::array<Blade, 8> kBlades{{{25.4, 194, "1"},
                                        {19, 140, "3/4"},
                                        {15.9, 102, "5/8"},
                                        {12.7, 64, "1/2"},
                                        {9.5, 38, "3/8"},
                                        {6.4, 16, "1/4"},
                                        {4.8, 10, "3/16"},
                                        {3.2, 5, "1/8"}}};

std::string tool_words(const Brief& brief, const Template& t) {
  const double radius = smallest_radius(t.path);
  if (radius > 1e8) return "Straight cuts: no blade is too wide.";
  for (const Blade& b : kBlades) {
    if (radius < b.radius_mm) continue;
    const std::string width =
        brief.lengths.style.units == Units::mm ? fmt::format("{:.0f} mm", b.width_mm) : fmt::format("{} in", b.inches);
    return fmt::format(
        "Smallest radius {}: a bandsaw blade up to {} wide follows it (a makers' table; wet thick timber "
        "wants a narrower one).",
        brief.lengths(std::floor(radius)), width);
  }
  return fmt::format(
      "Smallest radius {}: too tight for any bandsaw blade in the makers' tables; drill out the tight "
      "place, or choose an easier curve.",
      brief.lengths(std::floor(radius)));
}

// Where the cutting line stands at a station from the tip: distances from the whole edge, nearest first.
std::vector<double> ordinates(const Template& t, double station) {
  std::vector<double> out;
  for (std::size_t i = 0; i + 1 < t.path.size(); ++i) {
    const Point a = t.path[i], b = t.path[i + 1];
    if (a.x == b.x || (a.x < station) == (b.x < station)) continue;
    out.push_back(a.y + (station - a.x) / (b.x - a.x) * (b.y - a.y));
  }
  if (out.empty() && std::abs(station - t.path.back().x) < 1e-6) out.push_back(t.path.back().y);
  std::sort(out.begin(), out.end());
  return out;
}

struct Run {
  Outline points;
  double weight;
  Dash dash = Dash::solid;
};

// The template's linework, full size.
std::vector<Run> linework(const Template& t, double far) {
  std::vector<Run> runs;
  Items hatched;
  Outline waste = t.path;
  waste.push_back({0, t.path.back().y});
  waste.push_back({0, t.width});
  waste.push_back({t.path.front().x, t.width});
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
  for (const double at : t.shoulders) runs.push_back({{{at, -4}, {at, t.width + 4}}, kFine, Dash::dashed});
  Outline cut = t.path;
  runs.push_back({cut, kHeavy});
  if (t.path.back().y > 0.01) runs.push_back({{{t.path.back().x, t.path.back().y}, {t.path.back().x, 0}}, kHeavy});
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
  line(items, at(0, 0), at(length, 0), kFine);
  for (int i = 0; i <= parts; ++i) {
    line(items, at(length * i / parts, -1.2), at(length * i / parts, i % parts == 0 ? 1.2 : 0), kFine);
  }
  write(items, words, at(length + 1.5, upright ? 0.9 : 0.9), kNote, Lettering::plain, upright ? 1 : -1,
        upright ? 90 : 0);
}

void draw_check_squares(Items& items, Point corner) {
  box(items, {corner.x, corner.y, corner.x + 101.6, corner.y + 101.6}, kFine);
  box(items, {corner.x, corner.y, corner.x + 100, corner.y + 100}, kFine);
  const double middle = corner.x + 50;
  write(items, "check squares", {middle, corner.y + 42}, kBody, Lettering::bold, 0);
  write(items, "inner: 100 mm each way", {middle, corner.y + 49}, kBody, Lettering::plain, 0);
  write(items, "outer: 4 in each way", {middle, corner.y + 54}, kBody, Lettering::plain, 0);
  write(items, "Measure both ways before you cut.", {middle, corner.y + 62}, kNote, Lettering::plain, 0);
  write(items, "If they are wrong, print at 100 %", {middle, corner.y + 66}, kNote, Lettering::plain, 0);
  write(items, "(no fitting to the page).", {middle, corner.y + 70}, kNote, Lettering::plain, 0);
}

void draw_map(Items& items, const Tiling& t, const Rect& room) {
  const double width = t.across * (t.width - kOverlap), height = t.down * (t.height - kOverlap);
  const double reduction = std::max({width / room.width(), height / (room.height() - 6), 1.0});
  write(items, "map of the tiles", {room.left, room.top + 3}, kNote, Lettering::bold);
  for (int row = 0; row < t.down; ++row) {
    for (int column = 0; column < t.across; ++column) {
      const Rect r{room.left + column * (t.width - kOverlap) / reduction,
                   room.top + 5 + row * (t.height - kOverlap) / reduction,
                   room.left + (column + 1) * (t.width - kOverlap) / reduction,
                   room.top + 5 + (row + 1) * (t.height - kOverlap) / reduction};
      box(items, r, kFine);
      write(items, tile_name(column, row), {r.centre().x, r.centre().y + 1}, kBody, Lettering::bold, 0);
    }
  }
}

void draw_data_page(std::vector<Sheet>& sheets, const Brief& brief, const Template& t, const Tiling& tiles) {
  Flow flow(sheets, brief, "templates", "Template for " + t.mark, Turned::portrait);
  flow.sheet().scale = "full size";
  flow.paragraph(
      fmt::format("{}, {}: {} ends. Turn it over for the other end. The edge at the top of the template stays "
                  "whole; the tip of the timber is at the left.",
                  t.name, t.profile, t.ends));
  flow.paragraph(tool_words(brief, t));
  flow.down(3);
  const double top = flow.y();
  draw_check_squares(flow.items(), {flow.area().left, top});
  draw_map(flow.items(), tiles, {flow.area().left + 110, top, flow.area().right, top + 100});
  flow.down(108);
  flow.heading("Ordinates, for those who set it out without a printer");
  flow.paragraph(
      "From the tip along the whole edge; square across from it down to the line. Join them with a bent lath.");
  flow.down(1.5);
  const bool metric = brief.lengths.style.units == Units::mm;
  const double step = metric ? 10 : 12.7;
  Table table;
  table.columns = {{"From tip", 1}, {"To the line", 1}, {"", 1},           {"From tip", 1}, {"To the line", 1},
                   {"", 1},         {"From tip", 1},    {"To the line", 1}};
  table.leading = 1.6;
  std::vector<std::pair<std::string, std::string>> cells;
  const int stations = static_cast<int>(std::floor(t.reach / step + 1e-9));
  for (int i = 0; i <= std::min(stations, 400); ++i) {
    const std::vector<double> at = ordinates(t, i * step);
    std::string words;
    for (const double y : at) words += (words.empty() ? "" : " and ") + brief.lengths.brief(y);
    if (!words.empty()) cells.emplace_back(brief.lengths.brief(i * step), words);
  }
  if (t.reach - stations * step > 0.05)
    cells.emplace_back(brief.lengths.brief(t.reach), brief.lengths.brief(t.path.front().y));
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
    const Text text = lettered(words, at + shift, kBody, Lettering::plain, align);
    const Rect& ink = text.ink;
    if (ink.left > window.left && ink.right < window.right && ink.top > window.top && ink.bottom < window.bottom) {
      drawing.items.push_back({text});
    }
  };
  label("this edge stays whole", {t.reach + 3, 5}, -1);
  label("centre line", {t.reach + 3, t.width / 2 - 1.2}, -1);
  label(fmt::format("reference line: {} from the tip", brief.lengths(t.reach)), {t.reach + 3, t.width * 0.75}, -1);
  for (const double at : t.shoulders) {
    label(fmt::format("notch: {} from the tip", brief.lengths(at)), {at + 2, t.width * 0.25}, -1);
  }
  sheet.items.push_back({std::move(drawing)});

  Group register_marks{"register", {}};
  const auto cross_at = [&](Point p) {
    line(register_marks.items, {p.x - 4, p.y}, {p.x + 4, p.y}, kFine);
    line(register_marks.items, {p.x, p.y - 4}, {p.x, p.y + 4}, kFine);
    circle(register_marks.items, p, 2, kFine);
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

void draw_templates(std::vector<Sheet>& sheets, const Brief& brief) {
  for (const Template& t : templates(brief.plan)) {
    const double nearest = t.shoulders.empty() ? t.reach : std::max(t.reach, t.shoulders.front());
    const double far = nearest + 62;
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
