// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <cmath>

#include "sheets/flow.h"
#include "sheets/kinds.h"

namespace garthwright::sheets {

namespace {

std::string detail(const Brief& brief, const marking::Mark& m) {
  std::string out;
  const auto add = [&](const std::string& words) { out += (out.empty() ? "" : ", ") + words; };
  if (m.diameter_mm > 0) add(fmt::format("Ø {}", brief.lengths.exact(m.diameter_mm)));
  if (m.kind == marking::MarkKind::hole && m.across_mm) add(brief.lengths.brief(*m.across_mm) + " across");
  if (m.kind != marking::MarkKind::hole && m.depth_mm > 0) add(brief.lengths.brief(m.depth_mm) + " deep");
  if (m.kind == marking::MarkKind::seat && m.across_mm && std::abs(*m.across_mm) > 0.005)
    add(fmt::format("{} {} the {}", brief.lengths.brief(std::abs(*m.across_mm)), *m.across_mm > 0 ? "in from" : "over",
                    m.from));
  return out;
}

}  // namespace

void draw_marking_list(std::vector<Sheet>& sheets, const Brief& brief) {
  Flow flow(sheets, brief, "marking-list", "Marking list", Turned::portrait);
  flow.paragraph(
      "Every position is from the datum end of the piece, none from the mark before it: hook the tape once and "
      "tick all of them. Lies: on which side of the line, seen from the datum end, the waste or what comes there "
      "lies.");
  flow.down(2);
  for (const marking::MarkList& list : brief.plan.marking.lists) {
    std::string what = title(list);
    for (const PieceRow& row : brief.plan.pieces) {
      if (row.mark == list.mark) {
        what = fmt::format("{}  {}, {} of {}, {} long", title(list), row.name, list.pieces.size(), row.section,
                           brief.lengths(row.length_mm));
      }
    }
    flow.heading(what + (list.datum.empty() ? "" : "; from the " + list.datum));
    if (list.marks.empty()) {
      flow.paragraph("Nothing to mark but its length.");
      continue;
    }
    Table table;
    table.columns = {{"", -1, false, true}, {"From datum", 1}, {"Face"}, {"Line"}, {"Lies"}, {"Size"},
                     {"For", -1, true},     {"How", -1, true}};
    for (const marking::Mark& m : list.marks) {
      table.rows.push_back({{"", brief.lengths(m.at_mm), m.face, std::string(name(m.kind)), std::string(name(m.side)),
                             detail(brief, m), m.against, m.setting}});
    }
    lay(flow, table);
  }
  if (brief.plan.marking.lists.empty()) flow.paragraph("Nothing has to be marked.");
}

}  // namespace garthwright::sheets
