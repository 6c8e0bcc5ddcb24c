// SPDX-License-Identifier: Apache-2.0
//
// The whole garden from above: every part and hole from one base line by running distance, levels, what is dug first.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "base/us_customary.h"
#include "sheets/flow.h"
#include "sheets/kinds.h"
#include "sheets/picture.h"
#include "sheets/scale.h"
#include "structure/garden_frame.h"

namespace garthwright::sheets {

namespace {

/// Loose earth takes about a quarter more room than it did in the ground (common practice, no source).
constexpr double kLoosened = 1.25;
/// From here on a delivered mix is worth asking for: some forty bags (common practice, no source).
constexpr double kDelivered = 400;  // l

constexpr double kKgPerLb = 0.45359237;
/// Of a trailer's bed: how long a length may be that lies in it, and what one carries at a time (common practice, no
/// source).
constexpr double kStandsOut = 1.5;
constexpr double kOneWay = 25;  // kg

struct Plot {
  double left = 1e12, right = -1e12, front = 1e12, back = -1e12;

  void take(double x, double y) {
    left = std::min(left, x), right = std::max(right, x);
    front = std::min(front, y), back = std::max(back, y);
  }
};

/// The four corners of a box from above, in the garden.
std::vector<Vec3> corners_from_above(const Structure& s, const Box& b) {
  const Frame frame = garden_frame(s);
  std::vector<Vec3> corners;
  for (const auto& [x, y] : {std::pair{b.min.x, b.min.y}, {b.max.x, b.min.y}, {b.max.x, b.max.y}, {b.min.x, b.max.y}})
    corners.push_back(frame.to_world({x, y, 0}));
  return corners;
}

/// Deepest first, gate posts among them first of all, as they have to cure longest; then along the line.
std::vector<std::size_t> digging_order(const Plan& plan) {
  const auto carries_leaf = [&](const HoleRow& hole) {
    for (const Swing& swing : plan.garden.structures[static_cast<std::size_t>(hole.part.index)].swings)
      if (swing.on == body(hole.post)) return true;
    return false;
  };
  std::vector<std::size_t> order(plan.holes.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    const HoleRow &one = plan.holes[a], &other = plan.holes[b];
    const bool one_hangs = carries_leaf(one), other_hangs = carries_leaf(other);
    if (one_hangs != other_hangs) return one_hangs;
    if (std::abs(one.depth_mm - other.depth_mm) > 0.5) return one.depth_mm > other.depth_mm;
    return one.centre.x < other.centre.x;
  });
  return order;
}

void draw_plot(Items& items, const Brief& brief, const std::vector<std::size_t>& order, const Plot& plot,
               const Rect& room, std::string& scale_words) {
  const Plan& plan = brief.plan;
  const Scale scale = scale_for(brief.lengths.style.units, plot.right - plot.left, plot.back - plot.front,
                                room.width() - 12, room.height() - 14);
  scale_words = scale.words;
  const double width = (plot.right - plot.left) / scale.reduction, height = (plot.back - plot.front) / scale.reduction;
  const OnPage page{scale.reduction, plot.left, plot.back, {room.centre().x - width / 2, room.centre().y - height / 2}};
  for (std::size_t i = 0; i < plan.garden.structures.size(); ++i) {
    const Structure& s = plan.garden.structures[i];
    const std::vector<Vec3> corners = corners_from_above(s, plan.wholes[i].box);
    Outline around;
    Point middle{};
    for (const Vec3& corner : corners) {
      around.push_back(page(corner.x, corner.y));
      middle = middle + 0.25 * around.back();
    }
    outline(items, around, kMedium);
    // By number: names would run into each other.
    const double top = std::min({around[0].y, around[1].y, around[2].y, around[3].y});
    write(items, std::to_string(i + 1), {middle.x, top - 1.2}, kDrawn, Lettering::bold, 0);
  }
  for (const Existing& thing : plan.garden.existing) {
    if (thing.kind == Existing::Kind::tree) {
      circle(items, page(thing.at.x, thing.at.y), thing.width / 2 / scale.reduction, kMedium, Dash::dashed);
    } else {
      Outline around;
      const double c = cosd(thing.turn_deg), t = sind(thing.turn_deg);
      for (const auto& [u, v] :
           {std::pair{0.0, 0.0}, {thing.width, 0.0}, {thing.width, thing.depth}, {0.0, thing.depth}})
        around.push_back(page(thing.at.x + c * u - t * v, thing.at.y + t * u + c * v));
      outline(items, around, kMedium, Dash::dashed);
    }
  }
  for (const std::size_t i : order) {
    const HoleRow& hole = plan.holes[i];
    circle(items, page(hole.centre.x, hole.centre.y), std::max(0.6, hole.diameter_mm / 2 / scale.reduction), kThick);
  }
  // The base line, a little beyond its first and last hole, with its nail.
  const Point nail = page(plot.left, plot.front);
  line(items, {nail.x - 4, nail.y}, {page.x(plot.right) + 4, nail.y}, kHair, Dash::chain);
  fill_circle(items, nail, 0.7, 1);
  write(items, "0", {nail.x - 2, nail.y + 4.2}, kDrawn, Lettering::bold, 0);
}

void lay_square(Flow& flow, const Brief& brief, const Plot& plot) {
  const bool metric = brief.lengths.style.units == Units::mm;
  const double unit = metric ? 300 : kMmPerFoot, wide = plot.right - plot.left, deep = plot.back - plot.front;
  const double most = std::min(std::max(wide, deep) / 4, std::min(wide, deep) / 3);
  const double k = unit * std::max(1.0, std::floor(most / unit));
  flow.paragraph(fmt::format(
      "Square off the base line by 3-4-5 at the largest size there is room for: {} along it, {} off it, {} across. "
      "On a slope hold the tape level, in steps, and plumb down.",
      brief.lengths(4 * k), brief.lengths(3 * k), brief.lengths(5 * k)));
}

/// A number that the job says of the garden; 0 where it is silent.
double said(const Plan& plan, std::string_view name) {
  for (const pattern::SiteFact& fact : plan.job.site)
    if (fact.name == name && std::holds_alternative<double>(fact.value)) return std::get<double>(fact.value);
  return 0;
}

/// What has to come to the garden, how it fits the trailer, and what is carried from the road ([site] trailer, carry).
void say_transport(Flow& flow, const Brief& brief) {
  const Plan& plan = brief.plan;
  const bool us = plan.site.route == Site::Route::us, metric = brief.lengths.style.units == Units::mm;
  double longest = 0, timber_kg = 0, bags_kg = 0;
  int bags = 0, too_long = 0;
  const double trailer = said(plan, "trailer") * (us ? kMillimetresPerInch : 1), carry = said(plan, "carry");
  for (const buying::TimberLine& line : plan.purchase.timber) {
    longest = std::max(longest, line.length_mm);
    if (line.length_mm > kStandsOut * trailer) too_long += line.quantity;
  }
  for (const PieceRow& row : plan.pieces) timber_kg += row.mass_kg * row.quantity;
  for (const Whole& whole : plan.wholes) timber_kg += whole.panels_kg;
  for (const buying::ItemLine& line : plan.purchase.ground)
    for (const timber::GroundItem& item : plan.job.yard.ground)
      if (item.name == line.name) bags += line.quantity, bags_kg += line.quantity * item.bag_kg;
  const auto mass = [&](double kg) {
    return metric ? fmt::format("{:.0f} kg", kg) : fmt::format("{:.0f} lb", kg / kKgPerLb);
  };
  std::string words =
      fmt::format("To bring: timber in lengths of up to {}, {} of timber and panels as built, {} bags of {} in all.",
                  brief.lengths(longest), mass(timber_kg), bags, mass(bags_kg));
  if (trailer > 0)
    words += fmt::format(
        " A bed of {} takes lengths of up to {}, a third of them standing out behind with a flag (ask what the road's "
        "rules are): {}.",
        brief.lengths(trailer), brief.lengths(kStandsOut * trailer),
        too_long == 0 ? "all fit" : fmt::format("{} are longer, have them delivered or cut at the yard", too_long));
  if (carry > 0)
    words += fmt::format(" Over {:g} {} from the road that is about {:.0f} ways of {}.", carry, us ? "ft" : "m",
                         std::ceil((timber_kg + bags_kg) / kOneWay), mass(kOneWay));
  flow.paragraph(words);
}

}  // namespace

void draw_site(std::vector<Sheet>& sheets, const Brief& brief) {
  const Plan& plan = brief.plan;
  if (plan.garden.structures.size() < 2 || plan.holes.empty()) return;
  Plot plot;
  double nail_x = 1e12, base_y = 1e12;
  for (const HoleRow& hole : plan.holes) {
    plot.take(hole.centre.x, hole.centre.y);
    nail_x = std::min(nail_x, hole.centre.x);
    base_y = std::min(base_y, hole.centre.y);
  }
  Plot all = plot;
  for (std::size_t i = 0; i < plan.garden.structures.size(); ++i)
    for (const Vec3& corner : corners_from_above(plan.garden.structures[i], plan.wholes[i].box))
      all.take(corner.x, corner.y);
  // The base line is the front of the drawing too, so that its nail is on it.
  all.left = std::min(all.left, nail_x);
  all.front = std::min(all.front, base_y);

  const std::vector<std::size_t> order = digging_order(plan);
  Flow flow(sheets, brief, "site", "Site", Turned::landscape, kPageOfItsOwn);
  flow.paragraph(
      "The whole garden from above. Have buried services found before you dig, and agree the boundary with your "
      "neighbour in writing: nothing goes over it, not even concrete.");
  const Rect room{flow.area().left, flow.y() + 1, flow.area().right, flow.y() + 100};
  Group drawing{"site", {}};
  std::string scale;
  draw_plot(drawing.items, brief, order, all, room, scale);
  flow.scale(scale);
  flow.items().push_back({std::move(drawing)});
  flow.down(103);

  std::string parts;
  for (std::size_t i = 0; i < plan.garden.structures.size(); ++i)
    parts += fmt::format("{}{} {}", i == 0 ? "" : ", ", i + 1, plan.garden.structures[i].name);
  flow.paragraph(parts + ".");
  flow.paragraph(fmt::format(
      "The base line is a string parallel to the front; its nail, 0, is {} before and {} left of the first holes. "
      "Every hole is measured from there: along the line by running distance, never from hole to hole, and off it "
      "square.",
      brief.lengths(base_y - all.front), brief.lengths(nail_x - all.left)));
  lay_square(flow, brief, plot);
  flow.paragraph(
      "Order for the garden: set out all; dig, the deepest and the gates' posts first; stand the posts, ends before "
      "the middles; rails and frames, measured in place; boards; beds, seats and paving against what stands; gates "
      "last, when their posts have cured.");

  double earth = 0, concrete = 0;
  for (const HoleRow& hole : plan.holes) {
    earth += M_PI / 4 * hole.diameter_mm * hole.diameter_mm * hole.depth_mm / 1e6;
    concrete += hole.concrete_l;
  }
  flow.paragraph(fmt::format(
      "{} holes: {:.0f} litres of earth come out and lie as about {:.0f}; {:.0f} litres of concrete go in{}.",
      plan.holes.size(), earth, kLoosened * earth, concrete,
      concrete > kDelivered ? ", enough to ask what a delivered mix costs beside bags" : ""));
  say_transport(flow, brief);
  flow.down(1);

  const double datum = plan.holes[order.front()].centre.z;
  Table table;
  table.columns = {{"", -1, false, true}, {"Part"},      {"Post", -1, true}, {"Along the line", 1},
                   {"Off the line", 1},   {"Ground", 1}, {"Across", 1},      {"Deep", 1}};
  for (const std::size_t i : order) {
    const HoleRow& hole = plan.holes[i];
    const Structure& s = plan.garden.structures[static_cast<std::size_t>(hole.part.index)];
    const Piece& post = s[hole.post];
    table.rows.push_back(
        {{"", s.name, post.where.empty() ? post.name : post.where + " " + post.name,
          brief.lengths(hole.centre.x - all.left), brief.lengths(hole.centre.y - all.front),
          brief.lengths(hole.centre.z - datum), brief.lengths(hole.diameter_mm), brief.lengths(hole.depth_mm)}});
  }
  flow.heading("Holes in the order they are dug", 20);
  flow.paragraph("Ground is the level there, counted from the first hole of this list.");
  lay(flow, table);
}

}  // namespace garthwright::sheets
