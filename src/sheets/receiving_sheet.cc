// SPDX-License-Identifier: Apache-2.0
//
// For the day the timber comes: what should be there, and blanks for what really is, as the job wants it told.
#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "sheets/flow.h"
#include "sheets/kinds.h"

namespace garthwright::sheets {

namespace {

constexpr double kBlank = 24;

void blank(Items& items, const Rect& room) {
  line(items, {room.left, room.bottom + 0.8}, {room.right, room.bottom + 0.8}, kHair);
}

}  // namespace

void draw_receiving(std::vector<Sheet>& sheets, const Brief& brief) {
  const Plan& plan = brief.plan;
  if (plan.pieces.empty()) return;
  Flow flow(sheets, brief, "receiving", "When the timber comes", Turned::portrait);
  flow.paragraph(
      "Measure three pieces of every section with a caliper, in the middle of their length, and every panel corner to "
      "corner, before anything is cut. Where they differ from what is expected, write what was measured into the job "
      "under [timber.measured], as the last column begins it, and print again: every length follows.");
  flow.down(2);
  Table table;
  table.columns = {{"", -1, false, true},
                   {"Section"},
                   {"Expected"},
                   {"First", 0, false, false, kBlank},
                   {"Second", 0, false, false, kBlank},
                   {"Third", 0, false, false, kBlank},
                   {"In the job", -1, true}};
  table.leading = 2.4;
  std::vector<std::string> known;
  for (const PieceRow& row : plan.pieces) {
    if (std::find(known.begin(), known.end(), row.section) != known.end()) continue;
    known.push_back(row.section);
    Row r{{"", row.section,
           fmt::format("{} × {}", brief.lengths.exact(row.width_mm), brief.lengths.exact(row.thickness_mm)), "", "", "",
           fmt::format("\"{}\" = \"      x      \"", row.section)}};
    r.draw = blank;
    table.rows.push_back(std::move(r));
  }
  lay(flow, table);
  std::vector<const Panel*> panels;
  for (const Structure& s : plan.garden.structures)
    for (const Panel& p : s.panels)
      if (std::none_of(panels.begin(), panels.end(),
                       [&](const Panel* q) { return q->item == p.item && q->name == p.name; }))
        panels.push_back(&p);
  if (panels.empty()) return;
  flow.down(2);
  Table measured;
  measured.columns = {{"", -1, false, true},
                      {"Panel"},
                      {"Expected, wide × high × thick", -1, true},
                      {"Wide", 0, false, false, kBlank},
                      {"High", 0, false, false, kBlank},
                      {"Thick", 0, false, false, kBlank}};
  measured.leading = 2.4;
  for (const Panel* p : panels) {
    Row r{{"", p->name,
           fmt::format("{} × {} × {}", brief.lengths.exact(p->width.value()), brief.lengths.exact(p->height.value()),
                       brief.lengths.exact(p->thickness.value())),
           "", "", ""}};
    r.draw = blank;
    measured.rows.push_back(std::move(r));
  }
  lay(flow, measured);
}

}  // namespace garthwright::sheets
