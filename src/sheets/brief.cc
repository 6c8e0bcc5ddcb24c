// SPDX-License-Identifier: Apache-2.0
#include "sheets/brief.h"

#include <fmt/format.h>

#include <utility>

#include "sheets/pen.h"

namespace garthwright::sheets {

namespace {

constexpr double kMargin = 10;
constexpr double kRowHeight = 10.5;  // of the title block: one row, two where the page is narrow

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

void stamp_row(Items& items, const Rect& frame, const std::vector<Cell>& cells) {
  double x = frame.left;
  for (const Cell& cell : cells) {
    const double width = cell.share * frame.width();
    if (x > frame.left) line(items, {x, frame.top}, {x, frame.bottom}, kHair);
    const double left = x == frame.left ? x : x + 2;
    write(items, cell.label, {left, frame.top + 3.4}, 2.1);
    write(items, shortened(cell.words, x + width - 2 - left, 3.1, Lettering::bold), {left, frame.top + 8.6}, 3.1,
          Lettering::bold);
    x += width;
  }
}

}  // namespace

std::string Lengths::brief(double mm) const {
  LengthStyle plain = style;
  plain.symbol = false;
  return format_length(mm, plain);
}

std::string Lengths::operator()(double mm) const {
  if (!both) return brief(mm);
  LengthStyle other = style;
  other.symbol = true;
  other.units = style.units == Units::mm ? Units::feet_inches : Units::mm;
  return fmt::format("{} ({})", brief(mm), format_length(mm, other));
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
        of{"PAGE", fmt::format("{} of {}", page, sheets.size()), 0};
    const auto wide = [](Cell cell, double share) {
      cell.share = share;
      return cell;
    };
    Group block{"title block", {}};
    Rect frame{kMargin, sheet.height - kMargin - block_height(sheet), sheet.width - kMargin, sheet.height - kMargin};
    line(block.items, {frame.left, frame.top}, {frame.right, frame.top}, kHeavy);
    if (sheet.width > sheet.height) {
      stamp_row(
          block.items, frame,
          {wide(job, 0.29), wide(name, 0.2), wide(scale, 0.13), wide(units, 0.19), wide(day, 0.11), wide(of, 0.08)});
    } else {
      const double middle = frame.top + kRowHeight;
      stamp_row(block.items, {frame.left, frame.top, frame.right, middle}, {wide(job, 0.6), wide(name, 0.4)});
      line(block.items, {frame.left, middle}, {frame.right, middle}, kHair);
      stamp_row(block.items, {frame.left, middle, frame.right, frame.bottom},
                {wide(scale, 0.3), wide(units, 0.3), wide(day, 0.25), wide(of, 0.15)});
    }
    sheet.items.push_back({std::move(block)});
  }
}

}  // namespace garthwright::sheets
