// SPDX-License-Identifier: Apache-2.0
#include "sheets/view.h"

#include <algorithm>
#include <cmath>

namespace garthwright::sheets {

namespace {

constexpr double kName = 8;         // room for the name below
constexpr double kLeastSide = 3;    // white where nothing is dimensioned
constexpr double kGroundReach = 5;  // of the ground line beyond the picture

Tiers tiers(const std::vector<Measured>& measured, Side side, const OnPage& place) {
  Tiers out{side, {}};
  const bool upright = side == Side::left || side == Side::right;
  for (const Measured& m : measured) {
    if (m.at.size() < 2) continue;
    Chain chain{{}, m.words, m.brief};
    for (const double at : m.at) chain.at.push_back(upright ? place.y(at) : place.x(at));
    if (upright) {
      std::reverse(chain.at.begin(), chain.at.end());
      std::reverse(chain.words.begin(), chain.words.end());
      std::reverse(chain.brief.begin(), chain.brief.end());
    }
    out.chains.push_back(std::move(chain));
  }
  return out;
}

struct Reach {
  double below, right, above, left;
};

// Numbers that do not fit their gap may reach this far beyond the picture's ends.
constexpr double kSpill = 14;
constexpr double kSpillUpright = 2;
constexpr double kPointers = 6.5;  // height of the row of figures that point into the picture

struct Around {
  Tiers below, right, above, left;
  Rect picture;

  Around(const DimensionedView& v, const OnPage& place)
      : below(tiers(v.below, Side::below, place)),
        right(tiers(v.right, Side::right, place)),
        above(tiers(v.above, Side::above, place)),
        left(tiers(v.left, Side::left, place)),
        picture{place.x(v.picture.left), place.y(v.picture.high), place.x(v.picture.right), place.y(v.picture.low)} {}

  double least_x() const { return picture.left - kSpill; }
  double most_x() const { return picture.right + kSpill; }
  double least_y() const { return picture.top - kSpillUpright; }
  double most_y() const { return picture.bottom + kSpillUpright; }

  Reach reach(bool ground, bool pointers) const {
    const double side = ground ? std::max(kLeastSide, kGroundReach) : kLeastSide;
    const double spill_x = below.chains.empty() && above.chains.empty() ? 0 : kSpill;
    return {std::max({kLeastSide, depth(below, least_x(), most_x())}),
            std::max({side, spill_x, depth(right, least_y(), most_y())}),
            std::max({kLeastSide, pointers ? kPointers : 0, depth(above, least_x(), most_x())}),
            std::max({side, spill_x, depth(left, least_y(), most_y())})};
  }
};

/// Figures in a row above the picture, each with a line to its point.
void draw_pointers(Items& items, std::vector<Pointer> pointers, const OnPage& place, const Rect& picture) {
  std::sort(pointers.begin(), pointers.end(), [](const Pointer& a, const Pointer& b) { return a.u < b.u; });
  std::vector<double> centres, widths;
  for (const Pointer& p : pointers) {
    centres.push_back(place.x(p.u));
    widths.push_back(text_width(p.words, kDrawn, Lettering::bold));
  }
  const std::vector<double> at = spread(centres, widths, 2, picture.left - kSpill, picture.right + kSpill);
  const double base = picture.top - kPointers + 2.4;
  for (std::size_t i = 0; i < pointers.size(); ++i) {
    write(items, pointers[i].words, {at[i], base}, kDrawn, Lettering::bold, 0);
    const Point to = place(pointers[i].u, pointers[i].v);
    line(items, {at[i], base + 0.7}, to, kHair);
    fill_circle(items, to, 0.5, 1);
  }
}

OnPage at_origin(const Picture& p, double reduction) { return {reduction, p.left, p.high, {0, 0}}; }

}  // namespace

Point size_on_page(const DimensionedView& view, double reduction) {
  const Around around(view, at_origin(view.picture, reduction));
  const Reach r = around.reach(view.ground, !view.pointers.empty());
  return {r.left + view.picture.width() / reduction + r.right,
          r.above + view.picture.height() / reduction + r.below + (view.name.empty() ? 0 : kName)};
}

void draw_view(Items& items, const DimensionedView& view, double reduction, const Rect& room) {
  const Point size = size_on_page(view, reduction);
  OnPage place = at_origin(view.picture, reduction);
  const Reach r = Around(view, place).reach(view.ground, !view.pointers.empty());
  place.top_left = {room.centre().x - size.x / 2 + r.left, room.centre().y - size.y / 2 + r.above};
  Group group{view.name, {}};
  const Around around(view, place);
  if (view.ground) {
    draw_ground(group.items, around.picture.left - kGroundReach, around.picture.right + kGroundReach, place.y(0));
  }
  draw_walls(group.items, view.walls, place);
  const double ground = 0;
  draw_picture(group.items, view.picture, place, view.ground ? &ground : nullptr);
  dimension(group.items, around.picture, around.below, around.least_x(), around.most_x());
  dimension(group.items, around.picture, around.above, around.least_x(), around.most_x());
  dimension(group.items, around.picture, around.right, around.least_y(), around.most_y());
  dimension(group.items, around.picture, around.left, around.least_y(), around.most_y());
  draw_pointers(group.items, view.pointers, place, around.picture);
  if (!view.name.empty())
    write(group.items, view.name, {around.picture.centre().x, around.picture.bottom + r.below + kName - 2.5},
          kHeading * 0.8, Lettering::bold, 0);
  items.push_back({std::move(group)});
}

}  // namespace garthwright::sheets
