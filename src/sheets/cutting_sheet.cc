// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>

#include "sheets/dimension.h"
#include "sheets/flow.h"
#include "sheets/kinds.h"

namespace garthwright::sheets {

namespace {

constexpr double kBar = 7;  // drawn height of a length; widths are not to scale, lengths are

struct Label {
  double middle, room;
  std::string words;
};

// The section's actual width, for layouts that rip it; 0 when the yard does not know it.
double width_of(const Plan& plan, const std::string& section) {
  for (const timber::Section& s : plan.job.yard.sections) {
    if (s.name == section) return s.width_mm;
  }
  return 0;
}

// How wide a piece lies across the section it is cut from: a strip may be turned, its width to the section's thickness.
double strip_width(const Plan& plan, const buying::CutPiece& piece, const std::string& section) {
  double thickness = 0;
  for (const timber::Section& s : plan.job.yard.sections) {
    if (s.name == section) thickness = s.thickness_mm;
  }
  for (const PieceRow& row : plan.pieces) {
    if (row.mark != piece.mark) continue;
    if (row.section == section) return row.width_mm;
    const bool turned = std::abs(row.width_mm - thickness) < std::abs(row.thickness_mm - thickness);
    return turned ? row.thickness_mm : row.width_mm;
  }
  return width_of(plan, section) - piece.across_mm;
}

std::string heading(const Brief& brief, const buying::Layout& layout) {
  if (layout.from_shed)
    return fmt::format("{} off-cut of {}, {} long, from the shed (its ends are square: not trimmed)", layout.count,
                       layout.section, brief.lengths(layout.length_mm));
  return fmt::format("{} of {}, {} long{}", layout.count, layout.section, brief.lengths(layout.length_mm),
                     layout.straight ? ", picked straight" : "");
}

// Lengths under the bar, each under its piece; a second row takes those that would not fit beside each other.
double draw_lengths(Items& items, const std::vector<Label>& labels, double y, double least, double most) {
  constexpr double kSize = kDrawn, kRow = 4.2;
  std::vector<double> centres, widths;
  double total = 0;
  for (const Label& l : labels) {
    centres.push_back(l.middle);
    widths.push_back(text_width(l.words, kSize));
    total += widths.back() + 1.5;
  }
  const std::size_t rows = total > most - least ? 2 : 1;
  for (std::size_t row = 0; row < rows; ++row) {
    std::vector<double> c, w;
    for (std::size_t i = row; i < labels.size(); i += rows) {
      c.push_back(centres[i]);
      w.push_back(widths[i]);
    }
    const std::vector<double> places = spread(c, w, 1.5, least, most);
    const double baseline = y + 3.6 + static_cast<double>(row) * kRow;
    for (std::size_t k = 0; k < places.size(); ++k) {
      const Label& l = labels[row + k * rows];
      if (std::abs(places[k] - l.middle) > l.room / 2) {
        line(items, {l.middle, y + 0.2}, {places[k], baseline - 2.9}, kHair);
      }
      write(items, l.words, {places[k], baseline}, kSize, Lettering::plain, 0);
    }
  }
  return y + 4.5 + static_cast<double>(rows - 1) * kRow;
}

/// Whether the first piece of a bar stands in the ground: its foot is the end that nobody sawed.
bool begins_in_ground(const Plan& plan, const buying::Layout& layout) {
  if (layout.pieces.empty() || layout.from_shed) return false;
  const auto first = std::min_element(layout.pieces.begin(), layout.pieces.end(),
                                      [](const auto& a, const auto& b) { return a.at_mm < b.at_mm; });
  for (const PieceRow& row : plan.pieces)
    if (row.mark == first->mark)
      return plan.garden.structures[static_cast<std::size_t>(row.structure_index)][row.example].ground_contact;
  return false;
}

void draw_layout(Flow& flow, const Brief& brief, const buying::Layout& layout, double reduction) {
  flow.ensure(kBar + 16);
  Group group{"layout", {}};
  const double left = flow.area().left;
  write(flow.items(), heading(brief, layout), {left, flow.y() + kCapHeight * kBody}, kBody, Lettering::bold);
  flow.down(kBody * 1.3);
  const double top = flow.y(), bottom = top + kBar;
  const auto x = [&](double mm) { return left + mm / reduction; };
  // A foot that goes into the ground is the end as bought: what the saw would square there falls off at the other end.
  const double unsawn = begins_in_ground(brief.plan, layout) ? brief.plan.job.saw.trim_mm : 0;
  const auto at = [&](const buying::CutPiece& p) { return p.at_mm - unsawn; };

  const double section_width = width_of(brief.plan, layout.section);
  const bool ripped = std::any_of(layout.pieces.begin(), layout.pieces.end(), [&](const auto& p) {
    return p.across_mm > 0 || strip_width(brief.plan, p, layout.section) < section_width - 0.5;
  });
  const bool side_by_side = ripped && section_width > 0;

  std::vector<Label> labels;
  double used = 0;
  for (const buying::CutPiece& p : layout.pieces) {
    double upper = top, lower = bottom;
    if (side_by_side) {
      const double piece_width = strip_width(brief.plan, p, layout.section);
      upper = top + kBar * p.across_mm / section_width;
      lower = std::min(bottom, upper + kBar * piece_width / section_width);
    }
    const Rect r{x(at(p)), upper, x(at(p) + p.length_mm), lower};
    fill(group.items, corners(r), 0);
    box(group.items, r, kThick);
    const double size = std::min(kDrawn, (lower - upper) * 0.9);
    const std::string mark = p.part > 0 ? fmt::format("{} {}/2", p.mark, p.part) : p.mark;
    const double mark_width = text_width(mark, size, Lettering::bold);
    if (mark_width + 0.8 <= r.width()) {
      write(group.items, mark, {(r.left + r.right) / 2, (upper + lower) / 2 + kCapHeight * size / 2}, size,
            Lettering::bold, 0);
      // Strips beside each other are of one length: told once.
      if (p.across_mm == 0) labels.push_back({(r.left + r.right) / 2, r.width(), brief.lengths.brief(p.length_mm)});
    } else {
      labels.push_back({(r.left + r.right) / 2, r.width(), mark + ": " + brief.lengths.brief(p.length_mm)});
    }
    used = std::max(used, at(p) + p.length_mm);
  }
  // Waste is what no piece takes: the squared end, each kerf, and what is left over.
  const double end = x(layout.length_mm);
  std::vector<std::pair<double, double>> taken;
  for (const buying::CutPiece& p : layout.pieces) taken.emplace_back(at(p), at(p) + p.length_mm);
  std::sort(taken.begin(), taken.end());
  double free_from = 0;
  const auto waste = [&](double from, double to, const std::string& words) {
    if (to - from <= 0) return;
    const Rect r{x(from), top, x(to), bottom};
    std::vector<Outline> outlines{corners(r)};
    if (!words.empty()) {
      const double w = text_width(words, kDrawn);
      if (w + 3 < r.width()) {
        const Point c = r.centre();
        outlines.push_back(corners({c.x - w / 2 - 0.8, c.y - 2.1, c.x + w / 2 + 0.8, c.y + 2.1}));
        write(group.items, words, {c.x, c.y + kCapHeight * kDrawn / 2}, kDrawn, Lettering::plain, 0);
      } else {
        labels.push_back({r.centre().x, r.width(), words});
      }
    }
    hatch(group.items, outlines, 1.1);
  };
  for (const auto& [from, to] : taken) {
    if (from > free_from) waste(free_from, from, "");
    free_from = std::max(free_from, to);
  }
  if (layout.length_mm - free_from > 0.5) {
    waste(free_from, layout.length_mm,
          layout.offcut_mm > 0.5 ? "off-cut " + brief.lengths.brief(layout.offcut_mm) : "");
  }
  box(group.items, {left, top, end, bottom}, kThick);
  const double below = draw_lengths(group.items, labels, bottom, left, flow.area().right);
  flow.items().push_back({std::move(group)});
  flow.down(below - top + 2.5);
}

}  // namespace

void draw_cutting(std::vector<Sheet>& sheets, const Brief& brief) {
  const auto& layouts = brief.plan.purchase.cutting;
  Flow flow(sheets, brief, "cutting", "Cutting diagrams", Turned::portrait);
  double longest = 1;
  for (const buying::Layout& l : layouts) longest = std::max(longest, l.length_mm);
  // Across the page: nobody measures on it, every length is told in figures.
  const double reduction = longest / flow.area().width();
  flow.scale("in proportion");
  const Saw& saw = brief.plan.job.saw;
  flow.paragraph(
      fmt::format("Each bar is one length as the yard sells it, its lengths in proportion. Begin at the left: "
                  "square that end by {}. Every cut takes {} (kerf). Hatched is waste or off-cut.",
                  brief.lengths(saw.trim_mm), brief.lengths.exact(saw.kerf_mm)));
  flow.down(2.5);
  if (std::any_of(layouts.begin(), layouts.end(),
                  [&](const buying::Layout& l) { return begins_in_ground(brief.plan, l); })) {
    flow.paragraph(
        "Where a bar begins with a post that goes into the ground, leave that end as bought: it is the post's foot. "
        "Measure the post from it, and let what is not squared there fall off at the other end.");
    flow.down(1.5);
  }
  std::string section;
  for (const buying::Layout& layout : layouts) {
    if (layout.section != section) {
      if (!section.empty()) flow.down(1.5);
      section = layout.section;
    }
    draw_layout(flow, brief, layout, reduction);
  }
  for (const marking::InPlace& one : brief.plan.marking.order.in_place) {
    flow.paragraph(fmt::format("DO NOT CUT YET: {}{}; {}.", one.mark,
                               one.what == marking::InPlace::What::notches ? ", the notches only"
                               : one.what == marking::InPlace::What::head  ? ", the head only"
                                                                           : "",
                               one.why),
                   kBody, Lettering::bold);
  }
  if (layouts.empty()) flow.paragraph("There is nothing to cut: no timber is bought for this job.");
}

}  // namespace garthwright::sheets
