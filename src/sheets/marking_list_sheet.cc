// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include "sheets/flow.h"
#include "sheets/kinds.h"

namespace garthwright::sheets {

namespace {

std::string detail(const Brief& brief, const marking::Mark& m) {
  std::string out;
  if (m.diameter_mm > 0) {
    out = fmt::format("Ø {}", brief.lengths.brief(m.diameter_mm));
    if (m.across_mm > 0) out += fmt::format(", {} across", brief.lengths.brief(m.across_mm));
  } else if (m.across_mm > 0) {
    out = fmt::format("{} deep", brief.lengths.brief(m.across_mm));
  }
  return out;
}

}  // namespace

void draw_marking_list(std::vector<Sheet>& sheets, const Brief& brief) {
  Flow flow(sheets, brief, "marking-list", "Marking list", Turned::portrait);
  flow.paragraph(
      "Every position is from the datum end of the piece, none from the mark before it: hook the tape once and "
      "tick all of them. The waste lies beyond a shoulder, on the side of what comes there.");
  flow.down(2);
  for (const marking::MarkList& list : brief.plan.marking.lists) {
    std::string what = list.mark;
    for (const PieceRow& row : brief.plan.pieces) {
      if (row.mark == list.mark) {
        what = fmt::format("{}  {}, {} of {}, {} long", row.mark, row.name, row.quantity, row.section,
                           brief.lengths(row.length_mm));
      }
    }
    flow.heading(what + (list.datum.empty() ? "" : "; from the " + list.datum));
    if (list.marks.empty()) {
      flow.paragraph("Nothing to mark but its length.");
      continue;
    }
    Table table;
    table.columns = {{"", -1, false, true}, {"From datum", 1}, {"Face"}, {"Line"}, {"Size"},
                     {"For", -1, true},     {"How", -1, true}};
    for (const marking::Mark& m : list.marks) {
      table.rows.push_back(
          {{"", brief.lengths(m.at_mm), m.face, std::string(name(m.kind)), detail(brief, m), m.against, m.setting}});
    }
    lay(flow, table);
  }
  if (brief.plan.marking.lists.empty()) flow.paragraph("Nothing has to be marked.");
}

}  // namespace garthwright::sheets
