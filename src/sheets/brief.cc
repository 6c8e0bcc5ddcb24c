// SPDX-License-Identifier: Apache-2.0
#include "sheets/brief.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "sheets/pen.h"

namespace garthwright::sheets {

namespace {

constexpr double kMargin = 10;
constexpr double kLabel = 1.8 / kCapHeight;  // the smallest of ISO 3098-1: names of the fields
constexpr double kRowHeight = 10.5;          // of the title block: one row, two where the page is narrow

std::string units_in_words(const Lengths& lengths) {
  const std::string inches = fmt::format("feet, inches to 1/{}", lengths.style.fraction);
  if (lengths.both) return lengths.style.units == Units::mm ? "mm (feet, inches)" : "feet, inches (mm)";
  return lengths.style.units == Units::mm ? "millimetres" : inches;
}

double block_height(const Sheet& sheet) { return sheet.width > sheet.height ? kRowHeight : 2 * kRowHeight; }

struct Cell {
  std::string label, words;
  double share;  // of the block's width
};

/// The frustum of a cone and its end, as they lie beside each other (ISO 5456-2: ends as 1 to 2, as long as the
/// greater).
void projection_sign(Items& items, const Rect& room, Projection projection) {
  const double great = std::min({0.62 * room.height(), 0.36 * room.width()}), small = great / 2, gap = 0.35 * great;
  const double left = room.centre().x - great - gap / 2, y = room.centre().y;
  const bool first = projection == Projection::first_angle;
  // Its small end looks left; from there both circles are seen, which first angle draws on the right.
  const double cone = first ? left : left + great + gap, ring = (first ? left + great + gap : left) + great / 2;
  outline(items,
          {{cone, y - small / 2}, {cone + great, y - great / 2}, {cone + great, y + great / 2}, {cone, y + small / 2}});
  circle(items, {ring, y}, great / 2);
  circle(items, {ring, y}, small / 2);
  line(items, {cone - 0.8, y}, {cone + great + 0.8, y}, kHair, Dash::chain);
  line(items, {ring - great / 2 - 0.8, y}, {ring + great / 2 + 0.8, y}, kHair, Dash::chain);
  line(items, {ring, y - great / 2 - 0.8}, {ring, y + great / 2 + 0.8}, kHair, Dash::chain);
}

void stamp_row(Items& items, const Rect& frame, const std::vector<Cell>& cells) {
  double x = frame.left;
  for (const Cell& cell : cells) {
    const double width = cell.share * frame.width();
    if (x > frame.left) line(items, {x, frame.top}, {x, frame.bottom}, kHair);
    const double left = x == frame.left ? x : x + 2;
    write(items, cell.label, {left, frame.top + 3.4}, kLabel);
    // Long words are set smaller before any is left out.
    const double room = x + width - 2 - left, wide = text_width(cell.words, kDrawn, Lettering::bold);
    const double size = std::clamp(kDrawn * room / std::max(wide, 1.0) - 1e-6, kLabel, kDrawn);
    write(items, shortened(cell.words, room, size, Lettering::bold), {left, frame.top + 8.8}, size, Lettering::bold);
    x += width;
  }
}

}  // namespace

double Lengths::printed(double mm) const {
  const double step = style.units == Units::mm ? 0.5 : kMillimetresPerInch / style.fraction;
  return step * std::round(mm / step);
}

std::string Lengths::exact(double mm) const {
  LengthStyle plain = style;
  plain.symbol = false;
  return format_length(mm, plain);
}

std::string Lengths::brief(double mm) const { return exact(printed(mm)); }

std::string Lengths::marked(double mm) const {
  if (style.units == Units::mm) return brief(mm);
  Lengths fine = *this;
  fine.style.fraction = std::max(fine.style.fraction, 32);
  return fine.brief(mm);
}

std::string Lengths::operator()(double mm) const {
  if (!both) return brief(mm);
  LengthStyle other = style;
  other.symbol = true;
  other.units = style.units == Units::mm ? Units::feet_inches : Units::mm;
  return fmt::format("{} ({})", brief(mm), format_length(mm, other));
}

Projection projection_in(const Site& site) {
  const bool third =
      site.country.empty() ? site.route == Site::Route::us : site.country == "US" || site.country == "CA";
  return third ? Projection::third_angle : Projection::first_angle;
}

Sheet new_sheet(const Brief& brief, std::string id, std::string title, Turned turned) {
  double width = brief.paper == Paper::a4 ? 210 : 215.9;
  double height = brief.paper == Paper::a4 ? 297 : 279.4;
  if (turned == Turned::landscape) std::swap(width, height);
  return {std::move(id), std::move(title), "", width, height, {}};
}

Rect drawing_area(const Sheet& sheet) {
  return {kMargin, kMargin, sheet.width - kMargin, sheet.height - kMargin - block_height(sheet) - 3};
}

void stamp_title_blocks(std::vector<Sheet>& sheets, const Brief& brief) {
  int page = 0;
  for (Sheet& sheet : sheets) {
    ++page;
    if (sheet.bare) continue;
    const std::string date = brief.plan.job.date.empty() ? "not given" : brief.plan.job.date;
    const Cell job{"JOB", brief.plan.title, 0}, name{"SHEET", sheet.title, 0},
        scale{"SCALE", sheet.scale.empty() ? "not to scale" : sheet.scale, 0},
        units{"SIZES IN", units_in_words(brief.lengths), 0}, day{"DATE", date, 0},
        number{"DRAWING", brief.issue.number, 0}, revision{"REV", brief.issue.revision, 0},
        of{"PAGE", fmt::format("{} of {}", page, sheets.size()), 0}, sign{"", "", 0};
    const Projection projection = projection_in(brief.plan.site);
    const auto wide = [](Cell cell, double share) {
      cell.share = share;
      return cell;
    };
    Group block{"title block", {}};
    Rect frame{kMargin, sheet.height - kMargin - block_height(sheet), sheet.width - kMargin, sheet.height - kMargin};
    line(block.items, {frame.left, frame.top}, {frame.right, frame.top}, kHeavy);
    if (sheet.width > sheet.height) {
      stamp_row(block.items, frame,
                {wide(job, 0.25), wide(name, 0.15), wide(scale, 0.1), wide(units, 0.16), wide(number, 0.085),
                 wide(revision, 0.035), wide(day, 0.09), wide(of, 0.07), wide(sign, 0.06)});
      projection_sign(block.items, {frame.right - 0.06 * frame.width(), frame.top, frame.right, frame.bottom},
                      projection);
    } else {
      const double middle = frame.top + kRowHeight;
      stamp_row(block.items, {frame.left, frame.top, frame.right, middle}, {wide(job, 0.6), wide(name, 0.4)});
      line(block.items, {frame.left, middle}, {frame.right, middle}, kHair);
      stamp_row(block.items, {frame.left, middle, frame.right, frame.bottom},
                {wide(scale, 0.15), wide(units, 0.21), wide(number, 0.2), wide(revision, 0.07), wide(day, 0.145),
                 wide(of, 0.125), wide(sign, 0.1)});
      projection_sign(block.items, {frame.right - 0.1 * frame.width(), middle, frame.right, frame.bottom}, projection);
    }
    sheet.items.push_back({std::move(block)});
  }
}

}  // namespace garthwright::sheets
