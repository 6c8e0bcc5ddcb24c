// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "sheets/flow.h"
#include "sheets/job_code.h"
#include "sheets/joint_kinds.h"
#include "sheets/kinds.h"
#include "sheets/parts.h"
#include "sheets/scale.h"
#include "sheets/view.h"

namespace garthwright::sheets {

namespace {

// After the sizes have been read: a wall is no part of them.
void stand_against_walls(const Structure& s, DimensionedView& view) {
  view.walls = take_walls(s, view.picture);
  if (!view.walls.empty()) view.name += " (hatched: the wall)";
}

/// Lowest and highest of a timber as it is cut: its arrises end where the saw goes through them.
std::pair<double, double> reach_upright(const Piece& piece) {
  const Vec3 size = piece.blank().max;
  double low = 1e12, high = -1e12;
  for (const double y : {0.0, size.y})
    for (const double z : {0.0, size.z}) {
      double from = 0, to = size.x;
      for (const Machining& m : piece.machining) {
        const auto* cut = std::get_if<EndCut>(&m);
        if (cut == nullptr || std::abs(cut->normal.x) < 1e-6) continue;
        const double at =
            cut->point.x - (cut->normal.y * (y - cut->point.y) + cut->normal.z * (z - cut->point.z)) / cut->normal.x;
        if (cut->normal.x > 0) to = std::min(to, at);
        if (cut->normal.x < 0) from = std::max(from, at);
      }
      for (const double x : {from, to}) {
        const double level = piece.frame.to_world({x, y, z}).z;
        low = std::min(low, level), high = std::max(high, level);
      }
    }
  return {low, high};
}

/// How high above the ground a joiner sets what stands between the posts: level rails and ledgers by both edges, braces
/// by their feet, boards and leaves by foot and top, what is sat on by its top, the underside of what lies on top. A
/// chain from the ground, so that its sizes add up to the last; none where that would be more than anyone reads.
Measured heights(const Structure& s, const Picture& picture, const Lengths& lengths) {
  constexpr std::size_t kMost = 11;
  std::vector<double> all{0, picture.high};
  double underside = picture.high, foot = picture.high, top = 0;
  for (const Piece& piece : s.pieces) {
    const auto [low, high] = reach_upright(piece);
    const bool level = std::abs(piece.frame.x.z) < 1e-6;
    if ((piece.role == Role::rail || piece.role == Role::ledger) && level) all.insert(all.end(), {low, high});
    if (piece.role == Role::brace) all.push_back(low);
    if (piece.duties.has(Duty::seat) || piece.duties.has(Duty::walk)) all.push_back(high);
    if (piece.duties.has(Duty::screen) || piece.duties.has(Duty::leaf))
      foot = std::min(foot, low), top = std::max(top, high);
    if (piece.show == Show::underside) underside = std::min(underside, low);
  }
  all.insert(all.end(), {underside, foot, std::max(top, 0.0)});
  std::erase_if(all, [](double at) { return at < -0.5; });
  Measured m = chain(std::move(all), lengths);
  return m.at.size() > 2 && m.at.size() <= kMost + 1 ? m : Measured{};
}

/// Details with the whole beyond them; the whole alone where it is all that they say.
std::vector<Measured> within(Measured details, Measured whole) {
  if (details.at.size() <= 2) return {std::move(whole)};
  for (std::size_t i = 0; i + 1 < details.at.size(); ++i)
    if (std::abs(details.at[i] - whole.at.front()) < 0.5 && std::abs(details.at[i + 1] - whole.at.back()) < 0.5)
      return {std::move(details)};
  return {std::move(details), std::move(whole)};
}

// ", holes 750 deep", where they are all alike.
std::string hole_words(const Structure& s, const Lengths& lengths) {
  if (s.footings.empty()) return "";
  double least = s.footings.front().depth, most = least;
  for (const Footing& f : s.footings) least = std::min(least, f.depth), most = std::max(most, f.depth);
  if (most - least < 0.5) return fmt::format(", holes {} deep", lengths.brief(most));
  return fmt::format(", holes {} to {} deep", lengths.brief(least), lengths.brief(most));
}

// The figures of the joints' sheet, each once, in the elevation that sees more of the joint from its side, at the place
// nearest the eye.
std::vector<Pointer> joints_seen(const Structure& s, const std::vector<JointSort>& sorts, const solid::View& from) {
  const auto along = [&](const JointSort& sort, const solid::View& view) {
    return std::abs(dot(s.fixings[static_cast<std::size_t>(sort.example().fixings.front())].direction, view.forward));
  };
  const bool front = from.forward == solid::front_view().forward;
  const solid::View other = front ? solid::side_view() : solid::front_view();
  std::vector<Pointer> pointers;
  for (const JointSort& sort : sorts) {
    const double mine = along(sort, from), theirs = along(sort, other);
    if (front ? mine > theirs + 1e-9 : mine >= theirs - 1e-9) continue;
    Vec3 nearest;
    double least = std::numeric_limits<double>::infinity();
    for (const JointPlace& place : sort.places) {
      const Vec3 at = s[place.joint].point;
      if (const double far = dot(at, from.forward) - 0.01 * at.z; far < least) least = far, nearest = at;
    }
    pointers.push_back({dot(nearest, rightwards(from)), dot(nearest, from.up), sort.numeral});
  }
  return pointers;
}

// Numbered through all structures, as on the joints' sheet.
std::vector<JointSort> sorts_of(const Plan& plan, std::size_t structure) {
  int first = 1;
  for (std::size_t i = 0; i < structure; ++i) first += static_cast<int>(joint_sorts(plan.garden.structures[i]).size());
  return joint_sorts(plan.garden.structures[structure], first);
}

DimensionedView elevation(const Brief& brief, const Structure& s, const solid::Solids& solids, const solid::View& from,
                          const std::string& name, const std::vector<JointSort>& sorts) {
  DimensionedView view{name + hole_words(s, brief.lengths), take_picture(solids, from, false), true, {}, {}, {}, {}};
  const Picture& p = view.picture;
  view.below = within(across_posts(s, p, true, brief.lengths), overall(p.left, p.right, brief.lengths));
  view.right = within(levels(s, p, brief.lengths), overall(std::max(0.0, p.low), p.high, brief.lengths));
  view.left = {heights(s, p, brief.lengths)};
  view.pointers = joints_seen(s, sorts, from);
  stand_against_walls(s, view);
  return view;
}

DimensionedView plan_from_above(const Brief& brief, const Structure& s, const solid::Solids& solids) {
  DimensionedView view{"Plan, from above", take_picture(solids, solid::plan_view(), true), false, {}, {}, {}, {}};
  const Picture& p = view.picture;
  view.below = within(across_posts(s, p, true, brief.lengths), overall(p.left, p.right, brief.lengths));
  view.above = {across_rafters(s, p, true, brief.lengths)};
  view.left = {across_rafters(s, p, false, brief.lengths)};
  if (view.left.front().at.empty()) view.left = {across_beams(s, p, brief.lengths)};
  view.right = within(across_posts(s, p, false, brief.lengths), overall(p.low, p.high, brief.lengths));
  stand_against_walls(s, view);
  return view;
}

enum class Laid { abreast, stacked };

// What the views take on the page, in a row or in a column.
Point taken(const std::vector<const DimensionedView*>& views, double reduction, Laid laid) {
  Point sum{0, 0}, most{0, 0};
  for (const DimensionedView* v : views) {
    const Point size = size_on_page(*v, reduction);
    sum = sum + size;
    most = {std::max(most.x, size.x), std::max(most.y, size.y)};
  }
  return laid == Laid::abreast ? Point{sum.x, most.y} : Point{most.x, sum.y};
}

// The views on one page, at the largest scale at which they fit.
Scale scale_laid(const std::vector<const DimensionedView*>& views, const Rect& room, Units units, Laid laid) {
  const std::vector<Scale> known = scales(units);
  for (const Scale& s : known) {
    const Point size = taken(views, s.reduction, laid);
    if (size.x <= room.width() && size.y <= room.height()) return s;
  }
  return {known.back().reduction * 2, "not to scale"};
}

Scale row_scale(const std::vector<const DimensionedView*>& views, const Rect& room, Units units) {
  return scale_laid(views, room, units, Laid::abreast);
}

/// The job's code at the right margin, where the views stay as large beside it. Returns the width it takes.
double draw_code_beside(Items& items, const Brief& brief, const std::vector<const DimensionedView*>& views,
                        const Scale& scale, Laid laid, const Rect& area) {
  const std::string address = job_address(brief.job);
  const double side = code_side(address);
  Rect left = area;
  left.right -= side + 4;
  if (side == 0 || scale_laid(views, left, brief.lengths.style.units, laid).reduction != scale.reduction) return 0;
  draw_named_code(items, address, {area.right - side, area.top});
  return side + 4;
}

void draw_page(std::vector<Sheet>& sheets, const Brief& brief, const std::string& id, const std::string& title,
               const std::vector<const DimensionedView*>& views) {
  Sheet best;
  Scale scale{1e9, ""};
  Laid laid = Laid::abreast;
  for (const Turned turned : {Turned::landscape, Turned::portrait})
    for (const Laid way : {Laid::abreast, Laid::stacked}) {
      Sheet sheet = new_sheet(brief, id, title, turned);
      const Scale s = scale_laid(views, drawing_area(sheet), brief.lengths.style.units, way);
      if (s.reduction < scale.reduction) {
        best = std::move(sheet);
        scale = s;
        laid = way;
      }
    }
  best.scale = scale.words;
  Rect area = drawing_area(best);
  const bool abreast = laid == Laid::abreast;
  if (sheets.empty()) area.right -= draw_code_beside(best.items, brief, views, scale, laid, area);
  const Point total = taken(views, scale.reduction, laid);
  const double white = (abreast ? area.width() - total.x : area.height() - total.y) / static_cast<double>(views.size());
  Point at{area.left, area.top};
  for (const DimensionedView* v : views) {
    const Point size = size_on_page(*v, scale.reduction);
    if (abreast) {
      draw_view(best.items, *v, scale.reduction, {at.x, area.top, at.x + size.x + white, area.bottom});
      at.x += size.x + white;
    } else {
      draw_view(best.items, *v, scale.reduction, {area.left, at.y, area.right, at.y + size.y + white});
      at.y += size.y + white;
    }
  }
  sheets.push_back(std::move(best));
}

/// Both on one page where the plan is still large beside the other. False where it is not, or only one is wanted.
bool draw_plan_and_apart(std::vector<Sheet>& sheets, const Brief& brief, const Structure& s, const std::string& of,
                         const DimensionedView& plan) {
  constexpr double kApart = 108, kStillLarge = 25;
  if (!brief.draws("exploded") || s.pieces.empty()) return false;
  Sheet sheet = new_sheet(brief, "elevations", of + kPlanAndDrawnApart, Turned::landscape);
  const Rect area = drawing_area(sheet), left{area.left, area.top, area.right - kApart, area.bottom};
  const Scale scale = row_scale({&plan}, left, brief.lengths.style.units);
  const Scale alone = row_scale({&plan}, area, brief.lengths.style.units);
  const double high = size_on_page(plan, alone.reduction).y;
  if (scale.reduction <= kStillLarge) {
    sheet.scale = scale.words;
    draw_view(sheet.items, plan, scale.reduction, left);
    draw_drawn_apart(sheet.items, s, {left.right + 4, area.top, area.right, area.bottom}, false);
  } else if (high < area.height() / 3) {  // a long fence
    sheet.scale = alone.words;
    draw_view(sheet.items, plan, alone.reduction, {area.left, area.top, area.right, area.top + high});
    draw_drawn_apart(sheet.items, s, {area.left, area.top + high + 4, area.right, area.bottom}, true);
  } else {
    return false;
  }
  sheets.push_back(std::move(sheet));
  return true;
}

}  // namespace

void draw_fronts(std::vector<Sheet>& sheets, const Brief& brief, const AllSolids& solids, const std::string& id) {
  for (std::size_t i = 0; i < brief.plan.garden.structures.size(); ++i) {
    const Structure& s = brief.plan.garden.structures[i];
    const std::string of = brief.plan.garden.structures.size() > 1 ? s.name + ": " : "";
    const std::vector<JointSort> sorts = sorts_of(brief.plan, i);
    DimensionedView front = elevation(brief, s, *solids[i], solid::front_view(), "Front", sorts);
    DimensionedView side = elevation(brief, s, *solids[i], solid::side_view(), "Right side", sorts);
    const Rect page = drawing_area(new_sheet(brief, "", "", Turned::landscape));
    const Units units = brief.lengths.style.units;
    // No figure is worth a smaller scale.
    for (DimensionedView* view : {&front, &side}) {
      DimensionedView plain = *view;
      plain.pointers.clear();
      if (row_scale({&plain}, page, units).reduction < row_scale({view}, page, units).reduction)
        *view = std::move(plain);
    }
    const Rect upright = drawing_area(new_sheet(brief, "", "", Turned::portrait));
    const double together = std::min(row_scale({&front, &side}, page, units).reduction,
                                     scale_laid({&front, &side}, upright, units, Laid::stacked).reduction);
    const double alone = row_scale({&front}, page, units).reduction;
    if (together <= 1.3 * alone || together <= 25) {
      const bool third = projection_in(brief.plan.site) == Projection::third_angle;
      draw_page(sheets, brief, id, of + "Front and side",
                third ? std::vector<const DimensionedView*>{&front, &side}
                      : std::vector<const DimensionedView*>{&side, &front});
    } else {
      draw_page(sheets, brief, id, of + "Front", {&front});
      draw_page(sheets, brief, id, of + "Right side", {&side});
    }
  }
}

void draw_elevations(std::vector<Sheet>& sheets, const Brief& brief, const AllSolids& solids) {
  if (!has_kind(sheets, "outside")) draw_fronts(sheets, brief, solids, "elevations");
  for (std::size_t i = 0; i < brief.plan.garden.structures.size(); ++i) {
    const Structure& s = brief.plan.garden.structures[i];
    const std::string of = brief.plan.garden.structures.size() > 1 ? s.name + ": " : "";
    const DimensionedView plan = plan_from_above(brief, s, *solids[i]);
    if (draw_plan_and_apart(sheets, brief, s, of, plan)) continue;
    draw_page(sheets, brief, "elevations", of + "Plan", {&plan});
  }
}

}  // namespace garthwright::sheets
