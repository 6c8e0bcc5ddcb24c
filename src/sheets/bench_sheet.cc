// SPDX-License-Identifier: Apache-2.0
//
// All cuts in order, in type that reads from a step away: long before short, so that a spoilt long piece becomes a
// short one; equal lengths together, so that a stop is set once; what is measured in place last (marking's order).
#include <fmt/format.h>

#include <algorithm>

#include "sheets/flow.h"
#include "sheets/kinds.h"

namespace garthwright::sheets {

namespace {

constexpr int kTicksInARow = 8;

// One cut: a box to tick for each piece, what it is, and its length in the largest type on the page.
double row_height(const PieceRow& row, double size) {
  const int rows = (std::min(row.quantity, 3 * kTicksInARow) + kTicksInARow - 1) / kTicksInARow;
  return std::max(size * 1.9, rows * size * 1.25 + size * 0.6);
}

void draw_row(Flow& flow, const Brief& brief, const PieceRow& row, double length_mm, bool new_stop, double size) {
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
  const std::string length = brief.lengths(length_mm);
  const double long_size = std::min(size, size * 62 / std::max(1.0, text_width(length, size, Lettering::bold)));
  const Rect number = write(items, length, {area.right, base}, long_size, Lettering::bold, 1);
  const std::string what = fmt::format("{} × {}, {}", row.quantity, row.name, row.section);
  write(items, shortened(what, number.left - 3 - (mark + 18), size * 0.8), {mark + 18, base}, size * 0.8);
  flow.down(height);
}

}  // namespace

void draw_bench(std::vector<Sheet>& sheets, const Brief& brief) {
  const marking::CuttingOrder& order = brief.plan.marking.order;
  const auto row_of = [&](const std::string& mark) -> const PieceRow* {
    for (const PieceRow& row : brief.plan.pieces) {
      if (row.mark == mark) return &row;
    }
    return nullptr;
  };
  const auto needed = [&](double s) {
    double total = order.in_place.empty() ? 0 : 12 + 6 * static_cast<double>(order.in_place.size());
    for (const PieceRow& row : brief.plan.pieces) total += row_height(row, s);
    return total;
  };
  Flow flow(sheets, brief, "bench", "Bench sheet", Turned::portrait, 50);
  flow.paragraph(
      "True one end of every length first. Cut the first of each mark to the line and try it; set the stop from "
      "it, not from the tape. A heavy rule is a new stop.",
      3.4);
  flow.down(2);
  // As large as the page allows, but never so small that it cannot be read at arm's length.
  double size = 5.2;
  while (size > 4.2 && needed(size) > flow.room()) size -= 0.2;
  for (const marking::StopSetting& stop : order.stops) {
    bool new_stop = true;
    for (const marking::Cut& cut : stop.cuts) {
      if (const PieceRow* row = row_of(cut.mark)) draw_row(flow, brief, *row, cut.length_mm, new_stop, size);
      new_stop = false;
    }
  }
  if (!order.in_place.empty()) {
    line(flow.items(), {flow.area().left, flow.y()}, {flow.area().right, flow.y()}, kThick);
    flow.down(3);
    flow.heading("Do not cut yet: offer these up in their places", 12);
    for (const marking::InPlace& one : order.in_place) {
      const PieceRow* row = row_of(one.mark);
      if (row != nullptr && one.what == marking::InPlace::What::length)
        draw_row(flow, brief, *row, one.length_mm, true, size);
      const std::string what = one.what == marking::InPlace::What::notches ? ", the notches only"
                               : one.what == marking::InPlace::What::head  ? ", the head only"
                                                                           : "";
      flow.paragraph(fmt::format("{}{}: {}.", one.mark, what, one.why));
      flow.down(1);
    }
  }
  line(flow.items(), {flow.area().left, flow.y()}, {flow.area().right, flow.y()}, kThick);
}

}  // namespace garthwright::sheets
