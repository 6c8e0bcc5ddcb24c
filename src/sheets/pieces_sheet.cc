// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include "sheets/amounts.h"
#include "sheets/flow.h"
#include "sheets/kinds.h"
#include "sheets/parts.h"
#include "structure/absorbing.h"

namespace garthwright::sheets {

namespace {

// What the person at the saw must know of a piece beyond its size.
std::string remarks(const Plan& plan, const PieceRow& row) {
  if (row.structure_index < 0 || static_cast<std::size_t>(row.structure_index) >= plan.garden.structures.size())
    return "";
  const Structure& s = plan.garden.structures[static_cast<std::size_t>(row.structure_index)];
  if (!row.example || static_cast<std::size_t>(row.example.index) >= s.pieces.size()) return "";
  const Piece& piece = s[row.example];
  std::string out;
  const auto add = [&](const std::string& words) {
    if (!words.empty()) out += (out.empty() ? "" : "; ") + words;
  };
  for (std::size_t i = 0; i < s.pieces.size(); ++i)
    if (s.pieces[i].mark == row.mark)
      for (const std::string& name : also_called(s, PieceId{static_cast<int>(i)}))
        add(row.quantity > 1 ? fmt::format("the {} is the {} too", s.pieces[i].where, name)
                             : "is the " + name + " too");
  if (piece.measure_in_place) add("do not cut yet: measure in place");
  if (piece.ground_contact) add("foot as bought where it can be");
  if (piece.straight) add("pick a straight one");
  add(piece.note);
  return out;
}

}  // namespace

void lay_pieces(Flow& flow, const Brief& brief, bool ticks) {
  const Plan& plan = brief.plan;
  const Units units = brief.lengths.style.units;
  const bool several = plan.garden.structures.size() > 1;
  Table table;
  table.columns = {{"Mark"},
                   {"Piece"},
                   {"No.", 1},
                   {"Section"},
                   {"Actual size", 1},
                   {"Cut length", 1},
                   {fmt::format("Each {}", mass_unit(units)), 1},
                   {"Remarks", -1, true}};
  if (several) table.columns.insert(table.columns.begin() + 2, {"For"});
  if (ticks) table.columns.insert(table.columns.begin(), {"", -1, false, true});
  int count = 0;
  double mass = 0;
  for (const PieceRow& row : plan.pieces) {
    Row r{{row.mark, row.name, fmt::format("{}", row.quantity), row.section,
           fmt::format("{} × {}", brief.lengths.exact(row.width_mm), brief.lengths.exact(row.thickness_mm)),
           brief.lengths(row.length_mm), fmt::format("{:.1f}", mass_in(units, row.mass_kg)), remarks(plan, row)}};
    if (several) r.cells.insert(r.cells.begin() + 2, row.structure);
    if (ticks) r.cells.insert(r.cells.begin(), "");
    table.rows.push_back(std::move(r));
    count += row.quantity;
    mass += row.quantity * row.mass_kg;
  }
  Row total{{"", "All pieces", fmt::format("{}", count), "", "", "", fmt::format("{:.0f}", mass_in(units, mass)),
             fmt::format("{} in all, as bought", mass_unit(units))},
            true};
  if (several) total.cells.insert(total.cells.begin() + 2, "");
  if (ticks) total.cells.insert(total.cells.begin(), "");
  table.rows.push_back(std::move(total));
  lay(flow, table);
}

void draw_pieces(std::vector<Sheet>& sheets, const Brief& brief) {
  Flow flow(sheets, brief, "pieces", "Piece list", Turned::landscape);
  flow.paragraph(
      "Cut lengths are from long point to long point, as a tape along the timber reads them. Sections are "
      "called what the yard calls them; width and thickness are the actual ones.");
  flow.down(2);
  lay_pieces(flow, brief, false);
}

}  // namespace garthwright::sheets
