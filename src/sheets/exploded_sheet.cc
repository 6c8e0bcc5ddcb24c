// SPDX-License-Identifier: Apache-2.0
//
// The structure drawn apart: assemblies moved away from the middle, and their pieces from each other, so that every
// mark can be seen and found.
#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "sheets/kinds.h"
#include "sheets/leaders.h"
#include "sheets/parts.h"
#include "sheets/picture.h"
#include "structure/marks.h"

namespace garthwright::sheets {

namespace {

// How far assemblies move from the whole's middle, and bodies from their assembly's, as parts of their distance to it.
constexpr double kAssemblies = 0.6, kBodies = 0.35;

struct Middle {
  Vec3 sum;
  int count = 0;
  void add(Vec3 p) {
    sum = sum + p;
    ++count;
  }
  Vec3 at() const { return count > 0 ? (1.0 / count) * sum : Vec3{}; }
};

Structure drawn_apart(Structure s) {
  Middle whole;
  std::map<std::string, Middle> groups;
  const auto centre = [&](Body b) { return world_box(s, b).centre(); };
  const auto each = [&](const auto& visit) {
    for (std::size_t i = 0; i < s.pieces.size(); ++i) {
      visit(body(PieceId{static_cast<int>(i)}), s.pieces[i].group, s.pieces[i].frame);
    }
    for (std::size_t i = 0; i < s.panels.size(); ++i) {
      visit(body(PanelId{static_cast<int>(i)}), s.panels[i].group, s.panels[i].frame);
    }
  };
  each([&](Body b, const std::string& group, Frame&) {
    whole.add(centre(b));
    groups[group].add(centre(b));
  });
  each([&](Body b, const std::string& group, Frame& frame) {
    const Vec3 assembly = groups[group].at();
    frame.origin = frame.origin + kAssemblies * (assembly - whole.at()) + kBodies * (centre(b) - assembly);
  });
  return s;
}

}  // namespace

void draw_drawn_apart(Items& items, const Structure& structure, const Rect& area, bool both_margins) {
  const Structure apart = drawn_apart(structure);
  const solid::Solids solids(apart);
  const solid::View view = solid::isometric_view();
  const Picture picture = take_picture(solids, view, false);
  const double column = both_margins ? 48 : 38;
  const Rect room{area.left + column + 4, area.top + 2, both_margins ? area.right - column - 4 : area.right,
                  area.bottom - 3};
  const double reduction = std::max({picture.width() / room.width(), picture.height() / room.height(), 1e-6});
  const double width = picture.width() / reduction, height = picture.height() / reduction;
  const OnPage place{
      reduction, picture.left, picture.high, {room.centre().x - width / 2, room.centre().y - height / 2}};
  draw_picture(items, picture, place);

  const Vec3 right = rightwards(view);
  std::vector<Leader> left_side, right_side;
  for (const MarkGroup& group : marks(apart)) {
    // The piece of this mark that stands nearest the margin with fewer labels so far.
    const bool at_left = !both_margins || left_side.size() <= right_side.size();
    Leader label{{}, fmt::format("{}  {} × {}", group.mark, group.pieces.size(), apart[group.pieces.front()].name)};
    bool first = true;
    for (const PieceId id : group.pieces) {
      const Vec3 c = world_box(apart, body(id)).centre();
      const Point at = place(dot(c, right), dot(c, view.up));
      if (first || (at_left ? at.x < label.at.x : at.x > label.at.x)) label.at = at;
      first = false;
    }
    (at_left ? left_side : right_side).push_back(std::move(label));
  }
  Group labels{"labels", {}};
  draw_leaders(labels.items, left_side, {area.left, area.top + 2, area.left + column, area.bottom - 2}, true);
  draw_leaders(labels.items, right_side, {area.right - column, area.top + 2, area.right, area.bottom - 2}, false);
  items.push_back({std::move(labels)});
}

void draw_exploded(std::vector<Sheet>& sheets, const Brief& brief) {
  const std::vector<Structure>& structures = brief.plan.garden.structures;
  for (const Structure& s : structures) {
    const std::string of = structures.size() > 1 ? s.name + ": " : "";
    const bool beside_plan = std::any_of(sheets.begin(), sheets.end(),
                                         [&](const Sheet& sheet) { return sheet.title == of + kPlanAndDrawnApart; });
    if (s.pieces.empty() || beside_plan) continue;
    Sheet sheet =
        new_sheet(brief, "exploded", structures.size() > 1 ? of + "drawn apart" : "Drawn apart", Turned::landscape);
    draw_drawn_apart(sheet.items, s, drawing_area(sheet), true);
    sheets.push_back(std::move(sheet));
  }
}

}  // namespace garthwright::sheets
