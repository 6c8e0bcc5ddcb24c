// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include "sheets/kinds.h"
#include "sheets/scale.h"
#include "sheets/view.h"

namespace garthwright::sheets {

namespace {

// After the sizes have been read: a wall is no part of them.
void stand_against_walls(const Structure& s, DimensionedView& view) {
  view.walls = take_walls(s, view.picture);
  if (!view.walls.empty()) view.name += " (hatched: the wall)";
}

DimensionedView elevation(const Brief& brief, const Structure& s, const solid::Solids& solids, const solid::View& from,
                          std::string name) {
  DimensionedView view{std::move(name), take_picture(solids, from, false), true, {}, {}, {}, {}};
  const Picture& p = view.picture;
  view.below = {across_posts(s, p, true, brief.lengths), overall(p.left, p.right, brief.lengths)};
  view.right = {levels(s, p, brief.lengths), overall(std::max(0.0, p.low), p.high, brief.lengths)};
  stand_against_walls(s, view);
  return view;
}

DimensionedView plan_from_above(const Brief& brief, const Structure& s, const solid::Solids& solids) {
  DimensionedView view{"Plan, from above", take_picture(solids, solid::plan_view(), true), false, {}, {}, {}, {}};
  const Picture& p = view.picture;
  view.below = {across_posts(s, p, true, brief.lengths), overall(p.left, p.right, brief.lengths)};
  view.above = {across_rafters(s, p, true, brief.lengths)};
  view.left = {across_rafters(s, p, false, brief.lengths)};
  if (view.left.front().at.empty()) view.left = {across_beams(s, p, brief.lengths)};
  view.right = {across_posts(s, p, false, brief.lengths), overall(p.low, p.high, brief.lengths)};
  stand_against_walls(s, view);
  return view;
}

// The views in a row on one page, at the largest scale at which they fit.
Scale row_scale(const std::vector<const DimensionedView*>& views, const Rect& room, Units units) {
  const std::vector<Scale> known = scales(units);
  for (const Scale& s : known) {
    double width = 0, height = 0;
    for (const DimensionedView* v : views) {
      const Point size = size_on_page(*v, s.reduction);
      width += size.x;
      height = std::max(height, size.y);
    }
    if (width <= room.width() && height <= room.height()) return s;
  }
  return {known.back().reduction * 2, "not to scale"};
}

void draw_page(std::vector<Sheet>& sheets, const Brief& brief, const std::string& title,
               const std::vector<const DimensionedView*>& views) {
  Sheet best;
  Scale scale{1e9, ""};
  for (const Turned turned : {Turned::landscape, Turned::portrait}) {
    Sheet sheet = new_sheet(brief, "elevations", title, turned);
    const Scale s = row_scale(views, drawing_area(sheet), brief.lengths.style.units);
    if (s.reduction < scale.reduction) {
      best = std::move(sheet);
      scale = s;
    }
  }
  best.scale = scale.words;
  const Rect area = drawing_area(best);
  double total = 0;
  for (const DimensionedView* v : views) total += size_on_page(*v, scale.reduction).x;
  const double white = (area.width() - total) / static_cast<double>(views.size());
  double x = area.left;
  for (const DimensionedView* v : views) {
    const double width = size_on_page(*v, scale.reduction).x + white;
    draw_view(best.items, *v, scale.reduction, {x, area.top, x + width, area.bottom});
    x += width;
  }
  sheets.push_back(std::move(best));
}

}  // namespace

void draw_elevations(std::vector<Sheet>& sheets, const Brief& brief, const AllSolids& solids) {
  for (std::size_t i = 0; i < brief.plan.structures.size(); ++i) {
    const Structure& s = brief.plan.structures[i];
    const std::string of = brief.plan.structures.size() > 1 ? s.name + ": " : "";
    const DimensionedView front = elevation(brief, s, *solids[i], solid::front_view(), "Front");
    const DimensionedView side = elevation(brief, s, *solids[i], solid::side_view(), "Right side");
    const Rect page = drawing_area(new_sheet(brief, "", "", Turned::landscape));
    const Units units = brief.lengths.style.units;
    const double together = row_scale({&front, &side}, page, units).reduction;
    const double alone = row_scale({&front}, page, units).reduction;
    if (together <= 1.3 * alone || together <= 25) {
      draw_page(sheets, brief, of + "Front and side", {&front, &side});
    } else {
      draw_page(sheets, brief, of + "Front", {&front});
      draw_page(sheets, brief, of + "Right side", {&side});
    }
    const DimensionedView plan = plan_from_above(brief, s, *solids[i]);
    draw_page(sheets, brief, of + "Plan", {&plan});
  }
}

}  // namespace garthwright::sheets
