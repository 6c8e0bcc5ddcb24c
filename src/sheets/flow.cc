// SPDX-License-Identifier: Apache-2.0
#include "sheets/flow.h"

#include <algorithm>
#include <numeric>
#include <utility>

namespace garthwright::sheets {

namespace {

constexpr double kPadding = 1.6;      // white on each side of a cell
constexpr double kLeastWrapped = 24;  // a wrapped column is never narrower, mm

struct Set {
  double left = 0, width = 0;
};

// Widths: columns that do not wrap take what their longest cell needs; the rest is shared by those that do, as their
// text asks. When that leaves too little, columns of words wrap too.
std::vector<Set> column_places(const Table& table, double left, double width) {
  const std::size_t count = table.columns.size();
  std::vector<double> natural(count, 0);
  for (std::size_t c = 0; c < count; ++c) {
    natural[c] = text_width(table.columns[c].head, table.size * 0.82, Lettering::bold);
    if (table.columns[c].tick) natural[c] = std::max(natural[c], table.size * 1.3);
    natural[c] = std::max(natural[c], table.columns[c].drawn);
    for (const Row& row : table.rows) {
      if (c >= row.cells.size()) continue;
      natural[c] =
          std::max(natural[c], text_width(row.cells[c], table.size, row.strong ? Lettering::bold : Lettering::plain));
    }
    natural[c] += 2 * kPadding;
  }
  std::vector<bool> wraps(count);
  for (std::size_t c = 0; c < count; ++c) wraps[c] = table.columns[c].wraps;
  const auto sum = [&](bool of_wrapped) {
    double total = 0;
    for (std::size_t c = 0; c < count; ++c) {
      if (wraps[c] == of_wrapped) total += natural[c];
    }
    return total;
  };
  const auto least = [&] { return kLeastWrapped * static_cast<double>(std::count(wraps.begin(), wraps.end(), true)); };
  while (sum(false) + std::min(sum(true), least()) > width) {
    std::size_t widest = count;
    for (std::size_t c = 0; c < count; ++c) {
      if (!wraps[c] && !table.columns[c].tick && table.columns[c].drawn == 0 &&
          (widest == count || natural[c] > natural[widest]))
        widest = c;
    }
    if (widest == count) break;
    wraps[widest] = true;
  }
  // No column of words asks for so much that the others are left with a word a line.
  const double left_over = width - sum(false);
  for (std::size_t c = 0; c < count; ++c) {
    if (wraps[c]) natural[c] = std::min(natural[c], 0.6 * left_over);
  }
  const double asked = sum(true);
  std::vector<Set> places(count);
  double x = left;
  for (std::size_t c = 0; c < count; ++c) {
    double w = natural[c];
    if (wraps[c]) w = left_over * (asked > 0 ? natural[c] / asked : 1);
    places[c] = {x, w};
    x += w;
  }
  return places;
}

void set_cell(Items& items, const std::string& words, const Set& place, int align, double baseline, double size,
              Lettering lettering) {
  const double x = align < 0   ? place.left + kPadding
                   : align > 0 ? place.left + place.width - kPadding
                               : place.left + place.width / 2;
  write(items, words, {x, baseline}, size, lettering, align);
}

}  // namespace

Flow::Flow(std::vector<Sheet>& sheets, const Brief& brief, std::string id, std::string title, Turned turned,
           double least)
    : sheets_(sheets), brief_(brief), id_(std::move(id)), title_(std::move(title)), turned_(turned) {
  if (!goes_on(least)) begin(false);
}

Flow::~Flow() { sheets_.back().filled_to = y_; }

/// Takes what is left of the page before, under a rule and the title.
bool Flow::goes_on(double least) {
  if (sheets_.empty() || sheets_.back().filled_to == 0) return false;
  Sheet& page = sheets_.back();
  if ((page.width > page.height) != (turned_ == Turned::landscape)) return false;
  if (area().bottom - page.filled_to < least) return false;
  y_ = page.filled_to + 5;
  write(page.items, title_, {area().left, y_ + kCapHeight * 5.2}, 5.2, Lettering::bold);
  y_ += 9;
  if (page.title.find(title_) == std::string::npos) page.title += "; " + title_;
  return true;
}

void Flow::scale(const std::string& words) {
  scale_ = words;
  std::string& told = sheets_.back().scale;
  told = told.empty() || told == words ? words : "as drawn";
}

void Flow::begin(bool continued) {
  sheets_.push_back(new_sheet(brief_, id_, title_, turned_));
  sheets_.back().scale = scale_;
  const Rect page = area();
  write(items(), continued ? title_ + ", continued" : title_, {page.left, page.top + kCapHeight * 5.2}, 5.2,
        Lettering::bold);
  y_ = page.top + 9;
}

void Flow::new_page() { begin(true); }

bool Flow::ensure(double height) {
  // A thing taller than a page is drawn where it begins; a fresh page would not help it.
  if (height <= room() || y_ <= area().top + 9.5) return false;
  begin(true);
  return true;
}

void Flow::heading(std::string_view words, double keep_with_mm) {
  if (!ensure(4 + kHeading * 1.45 + keep_with_mm) && y_ > area().top + 9.5) y_ += 4;
  write(items(), shortened(words, area().width(), kHeading * 0.86, Lettering::bold),
        {area().left, y_ + kCapHeight * kHeading * 0.86}, kHeading * 0.86, Lettering::bold);
  y_ += kHeading * 1.45;
}

void Flow::paragraph(std::string_view words, double size, Lettering lettering) {
  for (const std::string& text : wrapped(words, area().width(), size, lettering)) {
    ensure(size * 1.4);
    write(items(), text, {area().left, y_ + kCapHeight * size}, size, lettering);
    y_ += size * 1.4;
  }
}

bool has_kind(const std::vector<Sheet>& sheets, std::string_view id) {
  return std::any_of(sheets.begin(), sheets.end(), [&](const Sheet& sheet) { return sheet.id == id; });
}

void lay(Flow& flow, const Table& table) {
  const std::vector<Set> places = column_places(table, flow.area().left, flow.area().width());
  const double right = places.empty() ? 0 : places.back().left + places.back().width;
  const double left = flow.area().left;
  const double head_size = table.size * 0.82, row_height = table.leading * table.size;
  double top = 0;

  const auto head = [&] {
    top = flow.y();
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
      set_cell(flow.items(), shortened(table.columns[c].head, places[c].width - 1, head_size, Lettering::bold),
               places[c], table.columns[c].align, flow.y() + kCapHeight * head_size + 1, head_size, Lettering::bold);
    }
    flow.down(head_size * 1.5 + 1);
    line(flow.items(), {left, flow.y()}, {right, flow.y()}, kThick);
  };

  flow.ensure(head_size * 3 + 2 * row_height);
  head();
  bool first = true;
  for (const Row& row : table.rows) {
    const Lettering lettering = row.strong ? Lettering::bold : Lettering::plain;
    std::vector<std::vector<std::string>> cells(table.columns.size());
    std::size_t lines = 1;
    for (std::size_t c = 0; c < table.columns.size() && c < row.cells.size(); ++c) {
      cells[c] = wrapped(row.cells[c], places[c].width - 2 * kPadding + 0.01, table.size, lettering);
      lines = std::max(lines, cells[c].size());
    }
    const double height = row_height + static_cast<double>(lines - 1) * table.size * 1.3;
    if (flow.ensure(height + 1)) {
      head();
      first = true;
    }
    if (!first) {
      line(flow.items(), {left, flow.y()}, {right, flow.y()}, row.strong ? kMedium : kHair);
    }
    first = false;
    const double baseline = flow.y() + (row_height + kCapHeight * table.size) / 2;
    for (std::size_t c = 0; c < cells.size(); ++c) {
      if (table.columns[c].tick) {
        if (row.strong) continue;
        const double side = table.size * 1.1, x = places[c].left + kPadding, y = flow.y() + (row_height - side) / 2;
        box(flow.items(), {x, y, x + side, y + side}, kMedium);
        continue;
      }
      if (table.columns[c].drawn > 0 && row.draw) {
        row.draw(flow.items(), {places[c].left + kPadding, baseline - kCapHeight * table.size,
                                places[c].left + places[c].width - kPadding, baseline});
        continue;
      }
      for (std::size_t i = 0; i < cells[c].size(); ++i) {
        set_cell(flow.items(), cells[c][i], places[c], table.columns[c].align,
                 baseline + static_cast<double>(i) * table.size * 1.3, table.size, lettering);
      }
    }
    flow.down(height);
  }
  line(flow.items(), {left, flow.y()}, {right, flow.y()}, kMedium);
  flow.down(1.5);
}

}  // namespace garthwright::sheets
