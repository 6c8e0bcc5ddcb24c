// SPDX-License-Identifier: Apache-2.0
#include "sheets/brief.h"

#include <fmt/format.h>

#include <utility>

#include "sheets/pen.h"

namespace garthwright::sheets {

namespace {

constexpr double kMargin = 10;
constexpr double kBlockHeight = 11;

std::string units_in_words(const Lengths& lengths) {
  const std::string inches = fmt::format("feet and inches, to 1/{}", lengths.style.fraction);
  if (lengths.both) return "mm, and feet and inches";
  return lengths.style.units == Units::mm ? "millimetres" : inches;
}

struct Cell {
  std::string label, words;
  double share;  // of the block's width
};

void stamp(Sheet& sheet, const std::vector<Cell>& cells) {
  Group block{"title block", {}};
  const Rect frame{kMargin, sheet.height - kMargin - kBlockHeight, sheet.width - kMargin, sheet.height - kMargin};
  line(block.items, {frame.left, frame.top}, {frame.right, frame.top}, kHeavy);
  double x = frame.left;
  for (const Cell& cell : cells) {
    const double width = cell.share * frame.width();
    if (x > frame.left) line(block.items, {x, frame.top}, {x, frame.bottom}, kHair);
    const double left = x == frame.left ? x : x + 2;
    write(block.items, cell.label, {left, frame.top + 3.4}, 2.1);
    write(block.items, shortened(cell.words, x + width - 2 - left, 3.1, Lettering::bold), {left, frame.top + 8.6}, 3.1,
          Lettering::bold);
    x += width;
  }
  sheet.items.push_back({std::move(block)});
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
  return {kMargin, kMargin, sheet.width - kMargin, sheet.height - kMargin - kBlockHeight - 3};
}

void stamp_title_blocks(std::vector<Sheet>& sheets, const Brief& brief) {
  int page = 0;
  for (Sheet& sheet : sheets) {
    ++page;
    const bool wide = sheet.width > sheet.height;
    const std::string date = brief.plan.job.date.empty() ? "not given" : brief.plan.job.date;
    stamp(sheet, {{"JOB", brief.plan.title, wide ? 0.31 : 0.27},
                  {"SHEET", sheet.title, wide ? 0.22 : 0.21},
                  {"SCALE", sheet.scale.empty() ? "not to scale" : sheet.scale, wide ? 0.13 : 0.15},
                  {"SIZES IN", units_in_words(brief.lengths), wide ? 0.16 : 0.15},
                  {"DATE", date, wide ? 0.1 : 0.12},
                  {"PAGE", fmt::format("{} of {}", page, sheets.size()), wide ? 0.08 : 0.1}});
  }
}

}  // namespace garthwright::sheets
