// SPDX-License-Identifier: Apache-2.0
//
// A label for every piece, to be stuck on its datum end as soon as it is sawn: mark and hand, what it is, how long, and
// where it stands. The grid is that of common label paper, told by size: 21 of 63.5 × 38.1 mm on A4, 30 of
// 2 5/8 × 1 in on letter (common practice, no source).
#include <fmt/format.h>

#include <algorithm>

#include "sheets/kinds.h"
#include "sheets/pen.h"

namespace garthwright::sheets {

namespace {

/// Labels on a page, all in mm: their size, how many, and from one's left (top) to the next one's.
struct Grid {
  double width, height;
  int across, down;
  double step_x, step_y, left, top;
};

Grid grid_of(Paper paper) {
  return paper == Paper::a4 ? Grid{63.5, 38.1, 3, 7, 66.04, 38.1, 7.21, 15.15}
                            : Grid{66.675, 25.4, 3, 10, 69.85, 25.4, 4.76, 12.7};
}

void draw_label(Items& items, const Rect& label, const Brief& brief, const marking::MarkList& list, const PieceRow& row,
                const Piece& piece) {
  constexpr double kInset = 3.5;
  const double left = label.left + kInset, width = label.width() - 2 * kInset;
  const double big = label.height() > 30 ? 7.5 : 5.6, small = label.height() > 30 ? 3.2 : 2.7;
  double y = label.top + kInset + kCapHeight * big;
  write(items, shortened(title(list), width, big, Lettering::bold), {left, y}, big, Lettering::bold);
  const auto next = [&](const std::string& words, Lettering lettering) {
    y += small * 1.5;
    write(items, shortened(words, width, small, lettering), {left, y}, small, lettering);
  };
  y += small * 0.3;
  next(fmt::format("{}, {}", brief.lengths(row.length_mm), row.section), Lettering::bold);
  next((piece.where.empty() ? "" : piece.where + " ") + row.name, Lettering::plain);
  next("stuck on the datum end: " + list.datum.substr(0, list.datum.find(" (")), Lettering::plain);
}

}  // namespace

void draw_labels(std::vector<Sheet>& sheets, const Brief& brief) {
  const Grid grid = grid_of(brief.paper);
  const int on_page = grid.across * grid.down;
  int count = 0;
  for (const marking::MarkList& list : brief.plan.marking.lists) {
    const auto row = std::find_if(brief.plan.pieces.begin(), brief.plan.pieces.end(), [&](const PieceRow& r) {
      return r.mark == list.mark && r.structure_index == list.structure;
    });
    if (row == brief.plan.pieces.end()) continue;
    const Structure& structure = brief.plan.garden.structures[static_cast<std::size_t>(list.structure)];
    for (const PieceId id : list.pieces) {
      const int place = count++ % on_page;
      if (place == 0) {
        sheets.push_back(new_sheet(brief, "labels", "Labels", Turned::portrait));
        sheets.back().scale = "full size";
        sheets.back().bare = true;
      }
      const double left = grid.left + grid.step_x * (place % grid.across);
      const double top = grid.top + grid.step_y * (place / grid.across);
      Group label{describe(structure, body(id)), {}};
      draw_label(label.items, {left, top, left + grid.width, top + grid.height}, brief, list, *row, structure[id]);
      sheets.back().items.push_back({std::move(label)});
    }
  }
}

}  // namespace garthwright::sheets
