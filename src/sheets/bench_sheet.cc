// SPDX-License-Identifier: Apache-2.0
//
// All cuts in order, in type that reads from a step away: long before short, so that a spoilt long piece becomes a
// short one; equal lengths together, so that a stop is set once; what is measured in place last.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sheets/flow.h"
#include "sheets/kinds.h"

namespace garthwright::sheets {

namespace {

constexpr int kTicksInARow = 8;

bool in_place(const Plan& plan, const PieceRow& row) {
  const auto i = static_cast<std::size_t>(row.structure_index);
  return i < plan.structures.size() && row.example && plan.structures[i][row.example].measure_in_place;
}

// One cut: a box to tick for each piece, what it is, and its length in the largest type on the page.
double row_height(const PieceRow& row, double size) {
  const int rows = (std::min(row.quantity, 3 * kTicksInARow) + kTicksInARow - 1) / kTicksInARow;
  return std::max(size * 1.9, rows * size * 1.25 + size * 0.6);
}

void draw_row(Flow& flow, const Brief& brief, const PieceRow& row, bool new_stop, double size) {
  const double height = row_height(row, size);
  flow.ensure(height);
  Items& items = flow.items();
  const Rect area = flow.area();
  line(items, {area.left, flow.y()}, {area.right, flow.y()}, new_stop ? kThick : kHair);
  const double base = flow.y() + size * 0.95 + kCapHeight * size / 2, side = size * 0.95;
  // Boxes stop at three rows; beyond that the count is what one goes by.
  const int boxes = std::min(row.quantity, 3 * kTicksInARow);
  for (int i = 0; i < boxes; ++i) {
    const double x = area.left + (i % kTicksInARow) * side * 1.3;
    const double y = flow.y() + size * 0.45 + (i / kTicksInARow) * size * 1.25;
    box(items, {x, y, x + side, y + side}, kMedium);
  }
  const double mark = area.left + kTicksInARow * side * 1.3 + 2;
  write(items, shortened(row.mark, 17, size, Lettering::bold), {mark, base}, size, Lettering::bold);
  const std::string length = brief.lengths(row.length_mm);
  const double long_size = std::min(size, size * 62 / std::max(1.0, text_width(length, size, Lettering::bold)));
  const Rect number = write(items, length, {area.right, base}, long_size, Lettering::bold, 1);
  const std::string what = fmt::format("{} × {}, {}", row.quantity, row.name, row.section);
  write(items, shortened(what, number.left - 3 - (mark + 18), size * 0.8), {mark + 18, base}, size * 0.8);
  flow.down(height);
}

}  // namespace

void draw_bench(std::vector<Sheet>& sheets, const Brief& brief) {
  std::vector<const PieceRow*> now, later;
  for (const PieceRow& row : brief.plan.pieces) (in_place(brief.plan, row) ? later : now).push_back(&row);
  const auto long_first = [](const PieceRow* a, const PieceRow* b) {
    return a->length_mm != b->length_mm ? a->length_mm > b->length_mm : a->mark < b->mark;
  };
  std::stable_sort(now.begin(), now.end(), long_first);
  std::stable_sort(later.begin(), later.end(), long_first);

  Flow flow(sheets, brief, "bench", "Bench sheet", Turned::portrait);
  flow.paragraph(
      "True one end of every length first. Cut the first of each mark to the line and try it; set the stop from "
      "it, not from the tape. A heavy rule is a new stop.",
      3.4);
  flow.down(2);
  // As large as one page allows, but never so small that it cannot be read at arm's length.
  double size = 5.6;
  const auto needed = [&](double s) {
    double total = later.empty() ? 0 : 12;
    for (const PieceRow& row : brief.plan.pieces) total += row_height(row, s);
    return total;
  };
  while (size > 3.6 && needed(size) > flow.room()) size -= 0.2;
  double stop = -1;
  for (const PieceRow* row : now) {
    draw_row(flow, brief, *row, std::abs(row->length_mm - stop) > 0.05, size);
    stop = row->length_mm;
  }
  if (!later.empty()) {
    flow.down(2);
    flow.heading("Do not cut yet: measure these in place", 12);
    for (const PieceRow* row : later) draw_row(flow, brief, *row, true, size);
  }
  line(flow.items(), {flow.area().left, flow.y()}, {flow.area().right, flow.y()}, kThick);
}

}  // namespace garthwright::sheets
