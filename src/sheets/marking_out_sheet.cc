// SPDX-License-Identifier: Apache-2.0
//
// Every mark, drawn to scale with its numbers: pieces that are met in many ways once with a table, boards in words.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "sheets/flow.h"
#include "sheets/kinds.h"
#include "sheets/marking_lines.h"
#include "sheets/marking_notes.h"
#include "sheets/marking_strips.h"

namespace garthwright::sheets {

namespace {

constexpr double kApart = 6;        // between two pieces abreast
constexpr double kStillLarge = 12;  // of what is drawn so, two go abreast: a brace, a spacer

/// A hand of a mark: "a" of A1 a.
std::string hand_of(const marking::MarkList& list) { return list.hand.empty() ? list.mark : list.hand; }

/// A mark with many hands: one drawing, with the lines that differ numbered, and a table of where each hand has them.
struct Shared {
  std::vector<Drawn> hands;
  std::size_t drawn = 0;  ///< the one whose strips stand for all
  std::vector<std::string> differ;
  std::vector<std::vector<NamedLine>> lines;
};

const NamedLine* line_named(const std::vector<NamedLine>& lines, const std::string& name) {
  for (const NamedLine& one : lines)
    if (one.name == name) return &one;
  return nullptr;
}

std::string cell_of(const Brief& brief, const NamedLine* line) {
  if (line == nullptr) return "–";
  return brief.lengths.marked(line->at) + (line->mark.empty() ? "" : " " + line->mark);
}

Shared shared(const Brief& brief, std::vector<Drawn> hands) {
  Shared out;
  out.hands = std::move(hands);
  for (const Drawn& hand : out.hands) out.lines.push_back(named_lines(*hand.list, hand.piece().length.value()));
  for (std::size_t i = 0; i < out.hands.size(); ++i)
    if (out.lines[i].size() > out.lines[out.drawn].size()) out.drawn = i;
  // In the order along the drawn piece; what it has not stands last.
  std::vector<std::string> names;
  const auto add = [&](std::size_t hand) {
    for (const NamedLine& one : out.lines[hand])
      if (std::find(names.begin(), names.end(), one.name) == names.end()) names.push_back(one.name);
  };
  add(out.drawn);
  for (std::size_t i = 0; i < out.hands.size(); ++i) add(i);
  for (const std::string& name : names) {
    const std::string first = cell_of(brief, line_named(out.lines.front(), name));
    if (std::any_of(out.lines.begin(), out.lines.end(),
                    [&](const auto& lines) { return cell_of(brief, line_named(lines, name)) != first; }))
      out.differ.push_back(name);
  }
  return out;
}

/// The drawn hand with numbers in place of what differs, under a title for all.
void lay_shared(Flow& flow, const Brief& brief, const Shared& all) {
  constexpr std::size_t kMostColumns = 8;
  Drawn d = all.hands[all.drawn];
  const double length = d.piece().length.value();
  d.marks.clear();
  for (const NamedLine& one : all.lines[all.drawn]) {
    const auto differs = std::find(all.differ.begin(), all.differ.end(), one.name);
    const std::string words = differs == all.differ.end()
                                  ? brief.lengths.marked(one.at) + "  " + one.name.substr(one.name.find(": ") + 2)
                                  : fmt::format("({})", differs - all.differ.begin() + 1);
    const auto same =
        std::find_if(d.marks.begin(), d.marks.end(), [&](const Place& p) { return std::abs(p.at - one.at) < 0.05; });
    if (same == d.marks.end())
      d.marks.push_back({one.at, words});
    else if (words.front() == '(')
      same->words += " " + words;
  }
  std::sort(d.marks.begin(), d.marks.end(), [](const Place& a, const Place& b) { return a.at < b.at; });
  d.words = 0;
  for (Place& p : d.marks) {
    p.words = shortened(p.words, kWordsLong, kDrawn);
    d.words = std::max(d.words, text_width(p.words, kDrawn));
  }
  std::vector<std::vector<std::string>> said;
  std::vector<std::string> hands;
  std::string who;
  std::size_t count = 0;
  for (const Drawn& hand : all.hands) {
    said.push_back(notes(brief, *hand.structure, hand.piece(), *hand.list));
    hands.push_back(hand_of(*hand.list));
    who += fmt::format("{}{}: {}", who.empty() ? "" : "; ", hands.back(), which(*hand.structure, *hand.list));
    count += hand.list->pieces.size();
  }
  d.note = fmt::format("Drawn: {}. {}.", title(*all.hands[all.drawn].list), who);
  d.height = 7.5 + strips_high(d) + 8.5 + d.words + block_height(d.note, d.width, kBody) + kBelowNote;
  flow.ensure(d.height + 14);
  Group drawing{d.list->mark, {}};
  const Heading over{d.list->mark, fmt::format("{} off {}, {} of {} × {}, {} long, met in {} ways", count, d.row->name,
                                               d.row->section, brief.lengths.marked(d.piece().width.value()),
                                               brief.lengths.marked(d.piece().thickness.value()), brief.lengths(length),
                                               all.hands.size())};
  draw(drawing.items, brief, d, {flow.area().left, flow.y()}, over);
  flow.items().push_back({std::move(drawing)});
  write_note(flow.items(), d, {flow.area().left, flow.y()});
  flow.down(d.height);
  for (std::size_t from = 0; from < all.hands.size() && !all.differ.empty(); from += kMostColumns) {
    const std::size_t to = std::min(all.hands.size(), from + kMostColumns);
    Table table;
    table.size = 2.6;
    table.leading = 1.5;
    table.columns.push_back({"Line"});
    for (std::size_t i = from; i < to; ++i) table.columns.push_back({hands[i], 1});
    for (std::size_t k = 0; k < all.differ.size(); ++k) {
      Row row{{fmt::format("({}) {}", k + 1, all.differ[k])}};
      for (std::size_t i = from; i < to; ++i)
        row.cells.push_back(cell_of(brief, line_named(all.lines[i], all.differ[k])));
      table.rows.push_back(std::move(row));
    }
    lay(flow, table);
  }
  flow.paragraph(merged_notes(said, hands));
  flow.down(2);
  line(flow.items(), {flow.area().left, flow.y()}, {flow.area().right, flow.y()}, kHair);
  flow.down(2.5);
}

/// Many boards of one mark, only sawn to length: set by the lines of what they are fixed to, and told in words.
bool is_plain_board(const std::vector<const marking::MarkList*>& hands, const Structure& s) {
  constexpr std::size_t kMany = 3;
  std::size_t count = 0;
  for (const marking::MarkList* list : hands) {
    count += list->pieces.size();
    for (const PieceId id : list->pieces) {
      const Piece& piece = s[id];
      if (piece.role != Role::board || !std::all_of(piece.machining.begin(), piece.machining.end(),
                                                    [](const auto& m) { return std::holds_alternative<EndCut>(m); }))
        return false;
    }
  }
  return count >= kMany;
}

void tell_boards(Flow& flow, const Brief& brief, const PieceRow& row,
                 const std::vector<const marking::MarkList*>& hands, const Structure& s) {
  std::vector<std::vector<std::string>> said;
  std::vector<std::string> names;
  std::string who;
  for (const marking::MarkList* list : hands) {
    const Piece& piece = s[list->pieces.front()];
    marking::MarkList own = *list;  // without what others say of where it comes
    std::erase_if(own.marks, [](const marking::Mark& m) { return m.kind == marking::MarkKind::seat; });
    said.push_back(notes(brief, s, piece, own));
    names.push_back(hand_of(*list));
    if (hands.size() > 1) who += fmt::format("{}{}: {}", who.empty() ? "" : "; ", names.back(), which(s, *list));
  }
  std::string text = merged_notes(said, names);
  if (text.find(": ") != std::string::npos && hands.size() > 1 && text.size() > 400) text += "  (" + who + ")";
  flow.heading(fmt::format("{}  {} {}, {}, {} long, from the {}", row.mark, row.quantity, row.name, row.section,
                           brief.lengths(row.length_mm), hands.front()->datum),
               8);
  flow.paragraph(text.empty() ? "Sawn square to its length." : text);
  flow.down(2);
}

/// What has nothing on its faces, in words.
void tell_bare(Flow& flow, const Brief& brief, const std::vector<Drawn>& bare) {
  if (bare.empty()) return;
  std::string words = "Nothing to mark but the length: ";
  for (const Drawn& d : bare)
    words += fmt::format("{}{} ({} {}, {})", &d == &bare.front() ? "" : "; ", title(*d.list), d.list->pieces.size(),
                         d.row->name, brief.lengths(d.row->length_mm));
  flow.paragraph(words + ".");
}

/// Whether some face is called by the way that it looks too.
bool names_ways(const marking::Report& marking) {
  return std::any_of(marking.lists.begin(), marking.lists.end(), [](const marking::MarkList& list) {
    return std::any_of(list.faces.begin(), list.faces.end(),
                       [](const std::string& face) { return face.ends_with(" L/R") || face.ends_with(" F/B"); });
  });
}

}  // namespace

void draw_marking_out(std::vector<Sheet>& sheets, const Brief& brief) {
  Flow flow(sheets, brief, "marking-out", "Marking out", Turned::portrait, 90);
  flow.scale("as drawn");
  flow.paragraph(
      "Each piece on its long faces, unrolled, to scale; a face that bears no mark is left out. All numbers run from "
      "the datum end: hook the tape once. Heavy lines are sawn, hatched is waste; thin lines are pencil only: what is "
      "named between them comes there. Circles are drilled from this face, small crosses through what comes there. "
      "Check section and length first. Clamp equal pieces together, flush at the datum end, and square the lines "
      "across all of them at once. Seal every cut end, notch and hole with end-grain preservative." +
      std::string(names_ways(brief.plan.marking) ? " L/R: the face that looks to left or right; F/B: to front or back."
                                                 : ""));
  flow.down(2.5);
  const double full = flow.area().width(), half = (full - kApart) / 2;
  std::vector<Drawn> bare;
  std::vector<Drawn> row;  // those that go side by side next
  const auto lay_row = [&] {
    if (row.empty()) return;
    if (row.size() == 1) row = {measured(brief, *row[0].row, *row[0].list, full, kLabels)};
    double height = 0;
    for (const Drawn& d : row) height = std::max(height, d.height);
    flow.ensure(height);
    double x = flow.area().left;
    for (const Drawn& d : row) {
      Group drawing{title(*d.list), {}};
      draw(drawing.items, brief, d, {x, flow.y()});
      flow.items().push_back({std::move(drawing)});
      write_note(flow.items(), d, {x, flow.y()});
      x += d.width + kApart;
    }
    const double below = flow.y() + height - 2;
    line(flow.items(), {flow.area().left, below}, {flow.area().right, below}, kHair);
    flow.down(height + 1);
    row.clear();
  };
  constexpr std::size_t kManyWays = 3;
  struct Boards {
    const PieceRow* row;
    std::vector<const marking::MarkList*> hands;
  };
  std::vector<Boards> boards;
  const auto& lists = brief.plan.marking.lists;
  for (std::size_t i = 0; i < lists.size();) {
    std::vector<const marking::MarkList*> hands;
    const std::size_t first = i;
    for (; i < lists.size() && lists[i].mark == lists[first].mark && lists[i].structure == lists[first].structure; ++i)
      hands.push_back(&lists[i]);
    const auto of = std::find_if(brief.plan.pieces.begin(), brief.plan.pieces.end(), [&](const PieceRow& r) {
      return r.mark == lists[first].mark && r.structure_index == lists[first].structure;
    });
    if (of == brief.plan.pieces.end()) continue;
    if (is_plain_board(hands, brief.plan.garden.structures[static_cast<std::size_t>(lists[first].structure)])) {
      boards.push_back({&*of, hands});
      continue;
    }
    std::vector<Drawn> drawn;
    for (const marking::MarkList* list : hands) {
      drawn.push_back(measured(brief, *of, *list, full, kLabels));
      if (drawn.back().faces.empty()) {
        bare.push_back(drawn.back());
        drawn.pop_back();
      }
    }
    if (drawn.size() >= kManyWays) {
      lay_row();
      lay_shared(flow, brief, shared(brief, std::move(drawn)));
      continue;
    }
    for (const Drawn& alone : drawn) {
      const Drawn narrow = measured(brief, *of, *alone.list, half, kFewLabels);
      if (narrow.scale.reduction <= std::max(alone.scale.reduction, kStillLarge)) {
        row.push_back(narrow);
        if (row.size() == 2) lay_row();
      } else {
        std::vector<Drawn> waits{alone};
        std::swap(row, waits);
        lay_row();
        std::swap(row, waits);
      }
    }
  }
  lay_row();
  if (!boards.empty()) {
    flow.heading("Boards: set by the lines of the timbers that they are fixed to", 16);
    for (const Boards& b : boards)
      tell_boards(flow, brief, *b.row, b.hands,
                  brief.plan.garden.structures[static_cast<std::size_t>(b.hands.front()->structure)]);
  }
  tell_bare(flow, brief, bare);
}

}  // namespace garthwright::sheets