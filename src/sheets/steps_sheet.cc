// SPDX-License-Identifier: Apache-2.0
//
// The order of work, a picture for each stage at which something goes in: new pieces drawn strong and a little way off
// their place, with arrows along the way in; what stands already light; heads of fixings marked, each kind with its own
// sign. Beside it what is done, in words, with people, lifts and waits.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "sequence/days.h"
#include "sheets/amounts.h"
#include "sheets/dimension.h"
#include "sheets/flow.h"
#include "sheets/kinds.h"
#include "sheets/picture.h"

namespace garthwright::sheets {

namespace {

using sequence::Motion;
using sequence::Stage;

constexpr double kWords = 2.6;                    // size of the words beside a picture
constexpr double kPictures[] = {47, 44, 41, 38};  // heights of a picture, mm: the one that takes fewest pages
constexpr double kColumn = 78;                    // width of the words
constexpr double kMarks = 16;                     // width of the marks beside the picture
constexpr std::size_t kMostArrows = 6;

/// What is seen at one stage: bodies in their places, the new ones moved back along their way.
struct Scene {
  Structure moved;
  std::vector<Body> bodies;
  std::set<Body> fresh;
  std::map<Body, Vec3> shift;
  solid::View view;
  bool on_site = true;
};

bool contains(const std::vector<Body>& list, Body b) { return std::find(list.begin(), list.end(), b) != list.end(); }

/// From the right front and above, whatever side lies underneath.
solid::View three_quarter(Vec3 up) {
  if (up.z > 0.9) return solid::isometric_view();
  const Vec3 a = std::abs(up.x) > 0.9 ? Vec3{0, 1, 0} : Vec3{1, 0, 0};
  const Vec3 b = cross(up, a);
  const Vec3 forward = unit(-1 * up - 0.6 * a - 0.8 * b);
  return {forward, unit(up - dot(up, forward) * forward)};
}

double diagonal(const Structure& s, const std::vector<Body>& bodies) {
  Box box = world_box(s, bodies.front());
  for (const Body b : bodies) box = enclosing(box, world_box(s, b));
  return norm(box.size());
}

Frame& frame_to_move(Structure& s, Body b) {
  return b.kind == Body::Kind::piece ? s[PieceId{b.index}].frame : s[PanelId{b.index}].frame;
}

/// The stage on the site, or, of what is made on trestles, the first of a batch. `standing` is what was there before.
Scene scene_of(const Structure& structure, const Stage& stage, const std::vector<Body>& standing) {
  Scene scene;
  scene.moved = structure;
  const sequence::Workplace at = stage.motions.front().at;
  scene.on_site = at == sequence::kSite;
  if (scene.on_site) scene.bodies = standing;
  Vec3 down{0, 0, -1};
  for (const sequence::Step& step : stage.steps) {
    const auto* turn = std::get_if<sequence::Turn>(&step);
    if (turn != nullptr && turn->at == at && !scene.on_site) {
      down = turn->down;
      break;
    }
  }
  scene.view = three_quarter(-down);
  for (const Motion& m : stage.motions) {
    if (m.at != at) continue;
    for (const Body b : m.bodies) {
      if (!contains(scene.bodies, b)) scene.bodies.push_back(b);
      scene.fresh.insert(b);
    }
  }
  const double apart = std::clamp(0.12 * diagonal(structure, scene.bodies), 120.0, 500.0);
  // On trestles what comes later lies farther out, so that the layers part.
  std::map<std::string, int> layer;
  for (const Motion& m : stage.motions) {
    if (m.at != at) continue;
    for (const Body b : m.bodies) {
      double far = apart;
      if (!scene.on_site && b.kind == Body::Kind::piece) {
        const auto known = layer.try_emplace(structure[PieceId{b.index}].name, static_cast<int>(layer.size()));
        far = 0.6 * apart * known.first->second;
      } else if (!scene.on_site) {
        far = 0.6 * apart * static_cast<double>(layer.size());
      }
      scene.shift[b] = -far * m.way;
      frame_to_move(scene.moved, b).origin = frame_to_move(scene.moved, b).origin + scene.shift[b];
    }
  }
  return scene;
}

/// Corners of the ground that is drawn round the holes.
std::vector<Vec3> ground_around(const Structure& structure) {
  if (structure.footings.empty()) return {};
  Vec3 low = structure.footings.front().centre, high = low;
  for (const Footing& f : structure.footings) {
    for (int k = 0; k < 2; ++k) {
      low[k] = std::min(low[k], f.centre[k] - f.diameter);
      high[k] = std::max(high[k], f.centre[k] + f.diameter);
    }
  }
  return {{low.x, low.y, 0}, {high.x, low.y, 0}, {high.x, high.y, 0}, {low.x, high.y, 0}};
}

Picture picture_of(const Scene& scene) {
  const solid::Solids solids(scene.moved);
  Picture picture{scene.view, solids.project(scene.view, false, scene.bodies), 0, 0, 0, 0};
  bool first = true;
  const auto reach = [&](double u, double v) {
    picture.left = first ? u : std::min(picture.left, u);
    picture.right = first ? u : std::max(picture.right, u);
    picture.low = first ? v : std::min(picture.low, v);
    picture.high = first ? v : std::max(picture.high, v);
    first = false;
  };
  for (const solid::Line& l : picture.lines)
    for (const auto& [u, v] : l.points) reach(u, v);
  if (scene.on_site)
    for (const Vec3& p : ground_around(scene.moved)) reach(dot(p, rightwards(scene.view)), dot(p, scene.view.up));
  return picture;
}

// ---- signs ----------------------------------------------------------------------------------------------------------

/// A sign for each kind of fixing of a stage: dot, ring, square, cross, in turn.
void sign(Items& items, Point at, std::size_t kind) {
  constexpr double r = 0.75;
  switch (kind % 4) {
    case 0:
      fill_circle(items, at, r, 1);
      break;
    case 1:
      fill_circle(items, at, r, 0);
      circle(items, at, r, kHair);
      break;
    case 2:
      fill(items, corners({at.x - r, at.y - r, at.x + r, at.y + r}), 1);
      break;
    default:
      line(items, {at.x - r, at.y - r}, {at.x + r, at.y + r}, kMedium);
      line(items, {at.x - r, at.y + r}, {at.x + r, at.y - r}, kMedium);
  }
}

void arrow(Items& items, Point from, Point to) {
  const Point d = to - from;
  const double length = std::hypot(d.x, d.y);
  if (length < 2.5) return;
  const Point u = (1 / length) * d, n{-u.y, u.x};
  const Point neck = to - 2.4 * u;
  line(items, from, neck, 1.3, Dash::solid);
  fill(items, {to, neck + 1.5 * n, neck - 1.5 * n}, 1);
}

struct Tag {
  Point at;
  std::string words;
};

/// Marks of the new pieces in a column left of the picture.
void draw_tags(Items& items, std::vector<Tag> tags, const Rect& column) {
  std::stable_sort(tags.begin(), tags.end(), [](const Tag& a, const Tag& b) { return a.at.y < b.at.y; });
  std::vector<double> middles, heights;
  for (const Tag& t : tags) {
    middles.push_back(t.at.y);
    heights.push_back(kCapHeight * kDrawn);
  }
  const std::vector<double> places = spread(middles, heights, 2.2, column.top, column.bottom);
  for (std::size_t i = 0; i < tags.size(); ++i) {
    write(items, shortened(tags[i].words, column.width(), kDrawn, Lettering::bold),
          {column.right, places[i] + kCapHeight * kDrawn / 2}, kDrawn, Lettering::bold, 1);
    line(items, {column.right + 1, places[i]}, tags[i].at, kHair);
    fill_circle(items, tags[i].at, 0.5, 1);
  }
}

// ---- one stage ------------------------------------------------------------------------------------------------------

Point on_page(const OnPage& place, const solid::View& view, Vec3 p) {
  return place(dot(p, rightwards(view)), dot(p, view.up));
}

/// The ground as a chain line round the holes.
void draw_ground_around(Items& items, const Structure& structure, const Scene& scene, const OnPage& place) {
  const std::vector<Vec3> around = ground_around(structure);
  Outline points;
  for (const Vec3& p : around) points.push_back(on_page(place, scene.view, p));
  outline(items, points, kHair, Dash::chain);
  for (const Footing& f : structure.footings) {
    Outline ring;
    for (int i = 0; i < 24; ++i)
      ring.push_back(
          on_page(place, scene.view,
                  {f.centre.x + f.diameter / 2 * cosd(15 * i), f.centre.y + f.diameter / 2 * sind(15 * i), 0}));
    outline(items, ring, kHair);
  }
}

void draw_scene(Items& items, const Structure& structure, const Stage& stage, const Scene& scene, const Rect& room) {
  const Picture picture = picture_of(scene);
  if (picture.lines.empty()) return;
  const Rect inner{room.left + kMarks + 2, room.top, room.right, room.bottom};
  const double reduction = std::max({picture.width() / inner.width(), picture.height() / inner.height(), 1e-6});
  const OnPage place{
      reduction,
      picture.left,
      picture.high,
      {inner.centre().x - picture.width() / reduction / 2, inner.centre().y - picture.height() / reduction / 2}};
  Group group{fmt::format("stage {}", stage.number), {}};
  for (const bool strong : {false, true}) {
    for (const solid::Line& l : picture.lines) {
      if (scene.fresh.contains(l.body) != strong) continue;
      Outline points;
      for (const auto& [u, v] : l.points) points.push_back(place(u, v));
      if (points.size() > 1) polyline(group.items, points, strong ? kThick : kHair);
    }
  }

  if (scene.on_site && !structure.footings.empty()) draw_ground_around(group.items, structure, scene, place);
  std::size_t arrows = 0;
  for (const Motion& m : stage.motions) {
    if (!scene.fresh.contains(m.bodies.front()) || arrows == kMostArrows) continue;
    Vec3 middle;
    for (const Body b : m.bodies)
      middle = middle + (1.0 / static_cast<double>(m.bodies.size())) * world_box(structure, b).centre();
    ++arrows;
    arrow(group.items, on_page(place, scene.view, middle + scene.shift.at(m.bodies.front())),
          on_page(place, scene.view, middle));
  }

  // Heads where they are on the moved pieces.
  std::map<std::string, std::size_t> kinds;
  for (const sequence::FixingCount& f : stage.fixings) kinds.try_emplace(f.item, kinds.size());
  for (const sequence::Step& step : stage.steps) {
    const auto* drive = std::get_if<sequence::Drive>(&step);
    if (drive == nullptr) continue;
    const Fixing& f = structure.fixings[static_cast<std::size_t>(drive->fixing)];
    if (!contains(scene.bodies, f.through.front())) continue;
    const auto shift = scene.shift.find(f.through.front());
    const Vec3 head = f.head + (shift == scene.shift.end() ? Vec3{} : shift->second);
    sign(group.items, on_page(place, scene.view, head), kinds.at(f.item));
  }

  std::map<std::string, Tag> tags;
  for (const Body b : scene.fresh) {
    const std::string mark = b.kind == Body::Kind::piece ? structure[PieceId{b.index}].mark : std::string("panel");
    const Point at = on_page(place, scene.view, world_box(scene.moved, b).centre());
    const auto [known, first] = tags.try_emplace(mark, Tag{at, mark});
    if (!first && at.x < known->second.at.x) known->second.at = at;
  }
  std::vector<Tag> list;
  for (auto& [mark, tag] : tags) list.push_back(std::move(tag));
  draw_tags(group.items, std::move(list), {room.left, room.top + 2, room.left + kMarks, room.bottom - 2});
  items.push_back({std::move(group)});
}

std::string facts(const Stage& stage, Units units) {
  std::string words = stage.people == 1 ? "1 person" : fmt::format("{} people", stage.people);
  if (stage.lift_kg > 0) words += ", heaviest lift " + mass_words(units, stage.lift_kg);
  words += stage.minutes < 90 ? fmt::format(", about {:.0f} min", std::max(5.0, 5 * std::round(stage.minutes / 5)))
                              : fmt::format(", about {:.1f} h", stage.minutes / 60);
  if (stage.turns > 0)
    words += fmt::format(", {} turned over", stage.turns == 1 ? "once" : fmt::format("{} times", stage.turns));
  return words;
}

struct Words {
  std::string text;
  double size = kWords;
  Lettering lettering = Lettering::plain;
  double after = 0.9;
  int sign = -1;  ///< before it, or none
};

std::vector<Words> words_of(const Stage& stage, Units units) {
  std::vector<Words> list;
  list.push_back({fmt::format("{}  {}", stage.number, stage.title), 3.6, Lettering::bold, 1.2});
  list.push_back({facts(stage, units), kWords, Lettering::plain, 1.6});
  if (stage.wait_h > 0) list.push_back({fmt::format("Then wait {:g} h.", stage.wait_h), 3.2, Lettering::bold, 1.6});
  std::map<std::string, std::pair<int, std::size_t>> fixings;
  std::vector<std::string> in_order;
  for (const sequence::FixingCount& f : stage.fixings) {
    const auto [known, first] = fixings.try_emplace(f.item, 0, fixings.size());
    if (first) in_order.push_back(f.item);
    known->second.first += f.count;
  }
  for (const std::string& item : in_order)
    list.push_back({fmt::format("{} × {}", fixings[item].first, item), kWords, Lettering::bold, 0.9,
                    static_cast<int>(fixings[item].second)});
  if (!in_order.empty()) list.back().after = 2;
  for (const std::string& action : stage.actions) list.push_back({action});
  return list;
}

double height_of(const std::vector<Words>& words, double width) {
  double height = 0;
  for (const Words& w : words)
    height += block_height(w.text, width - (w.sign >= 0 ? 4 : 0), w.size, w.lettering) + w.after;
  return height;
}

void write_words(Items& items, const std::vector<Words>& words, Point at, double width) {
  double y = at.y;
  for (const Words& w : words) {
    const double indent = w.sign >= 0 ? 4 : 0;
    if (w.sign >= 0) sign(items, {at.x + 1.2, y + kCapHeight * w.size / 2}, static_cast<std::size_t>(w.sign));
    y = write_block(items, w.text, {at.x + indent, y}, width - indent, w.size, w.lettering) + w.after;
  }
}

double stage_height(const Flow& flow, const Stage& stage, Units units, double picture) {
  const bool drawn = !stage.motions.empty();
  return std::max(drawn ? picture : 0.0, height_of(words_of(stage, units), drawn ? kColumn : flow.area().width())) + 5;
}

/// The largest picture of those with which the stages take fewest pages.
double picture_height(const Flow& flow, const std::vector<Stage>& stages, Units units) {
  double best = 0;
  int fewest = 0;
  for (const double picture : kPictures) {
    int pages = 0;
    double room = flow.room();
    for (const Stage& stage : stages) {
      const double height = stage_height(flow, stage, units, picture);
      if (height > room) ++pages, room = flow.area().height() - 9;
      room -= height;
    }
    if (best == 0 || pages < fewest) best = picture, fewest = pages;
  }
  return best;
}

void draw_stage(Flow& flow, const Structure& structure, const Stage& stage, const std::vector<Body>& standing,
                Units units, double picture_high) {
  const bool picture = !stage.motions.empty();
  const double width = picture ? kColumn : flow.area().width();
  const std::vector<Words> words = words_of(stage, units);
  const double height = stage_height(flow, stage, units, picture_high);
  flow.ensure(std::min(height, flow.area().height() - 1));
  const Rect area = flow.area();
  line(flow.items(), {area.left, flow.y()}, {area.right, flow.y()}, kHair);
  flow.down(2.5);
  const double x = picture ? area.right - kColumn : area.left;
  write_words(flow.items(), words, {x, flow.y()}, width);
  if (picture)
    draw_scene(flow.items(), structure, stage, scene_of(structure, stage, standing),
               {area.left, flow.y(), x - 4, flow.y() + height - 5});
  flow.down(height - 2.5);
}

std::string way_in_words(sequence::Way way) {
  switch (way) {
    case sequence::Way::parts:
      return "In parts, made on the ground and stood up";
    case sequence::Way::whole:
      return "Whole, made upside down on blocks and carried to its place";
    case sequence::Way::pieces:
      return "Piece by piece in its place";
  }
  return "";
}

/// What each way of putting it up would take.
void tell_ways(Flow& flow, const Brief& brief, const sequence::Report& order) {
  Table table;
  table.columns = {
      {"Ways to put it up", -1, true}, {"Work", 1}, {"Heaviest lift", 1}, {"People", 1}, {"Goes through", 1}};
  for (const sequence::WeighedWay& way : order.ways) {
    Row row;
    row.strong = way.taken;
    if (!way.why_not.empty()) {
      row.cells = {way_in_words(way.way) + ": no, " + way.why_not, "", "", "", ""};
    } else {
      row.cells = {way_in_words(way.way) + (way.taken ? " (told here)" : ""), fmt::format("{:.1f} h", way.minutes / 60),
                   mass_words(brief.lengths.style.units, way.lift_kg), std::to_string(way.people),
                   way.through ? fmt::format("{} × {}", brief.lengths.brief(way.through->wide_mm),
                                             brief.lengths.brief(way.through->high_mm))
                               : "any"};
    }
    table.rows.push_back(std::move(row));
  }
  lay(flow, table);
  flow.paragraph(
      "Lifts by the guideline figures for a person (docs/plan-file.md); goes through: the narrowest door or gate that "
      "the "
      "largest of it passes, moved along its longest side. --way parts, whole or pieces chooses another.",
      kNote);
  flow.down(2);
}

/// "1 to 3 and 5" of numbers that rise.
std::string runs_of(const std::vector<int>& numbers) {
  std::string out;
  for (std::size_t i = 0; i < numbers.size();) {
    std::size_t j = i;
    while (j + 1 < numbers.size() && numbers[j + 1] == numbers[j] + 1) ++j;
    out += (out.empty() ? "" : ", ") +
           (j > i ? fmt::format("{} to {}", numbers[i], numbers[j]) : std::to_string(numbers[i]));
    i = j + 1;
  }
  return out;
}

/// Which stages fall on which day, and what sets meanwhile.
void tell_days(Flow& flow, const sequence::Report& order) {
  std::string words = fmt::format("By days of {:g} h: ", sequence::kDayHours);
  for (const sequence::Day& day : sequence::by_days(order.stages)) {
    if (day.number > 1) words += "; ";
    words += fmt::format("day {}, stages {}, {:.1f} h, {}", day.number, runs_of(day.stages), day.hours,
                         day.people == 1 ? std::string("one person") : fmt::format("{} people", day.people));
    if (day.wait_h > 0)
      words += fmt::format(", then {:g} h in which the concrete sets and nothing rests on it", day.wait_h);
  }
  flow.paragraph(words + ". Cuts that were sealed dry overnight.");
  flow.down(2);
}

}  // namespace

void draw_steps(std::vector<Sheet>& sheets, const Brief& brief) {
  for (std::size_t n = 0; n < brief.plan.orders.size() && n < brief.plan.garden.structures.size(); ++n) {
    const sequence::Report& order = brief.plan.orders[n];
    const Structure& structure = brief.plan.garden.structures[n];
    if (order.stages.empty()) continue;
    const std::string of =
        brief.plan.garden.structures.size() > 1 ? structure.name + ": order of work" : "Order of work";
    Flow flow(sheets, brief, "steps", of, Turned::portrait);
    double minutes = 0;
    for (const Stage& s : order.stages) minutes += s.minutes;
    flow.paragraph(
        fmt::format("{} stages, about {:.0f} h of work beside the waits (our own estimates; not to scale). Strong "
                    "lines: what goes in "
                    "at this stage, drawn off its place; arrows: its way in; signs: heads of fixings.",
                    order.stages.size(), minutes / 60));
    flow.down(1.5);
    tell_ways(flow, brief, order);
    tell_days(flow, order);
    const Units units = brief.lengths.style.units;
    const double picture = picture_height(flow, order.stages, units);
    std::vector<Body> standing;
    for (const Stage& stage : order.stages) {
      draw_stage(flow, structure, stage, standing, units, picture);
      for (const Motion& m : stage.motions) {
        if (m.at != sequence::kSite) continue;
        for (const Body b : m.bodies) standing.push_back(b);
      }
    }
  }
}

}  // namespace garthwright::sheets
