// SPDX-License-Identifier: Apache-2.0
//
// What goes outside in the pocket: front and side with their sizes, then where to dig and the cut list.
#include <algorithm>

#include "sheets/flow.h"
#include "sheets/kinds.h"
#include "sheets/parts.h"

namespace garthwright::sheets {

void draw_outside(std::vector<Sheet>& sheets, const Brief& brief, const AllSolids& solids) {
  const std::vector<Structure>& structures = brief.plan.garden.structures;
  draw_fronts(sheets, brief, solids, "outside");
  const bool digs =
      std::any_of(structures.begin(), structures.end(), [](const Structure& s) { return !s.footings.empty(); });
  Flow flow(sheets, brief, "outside", digs ? "Holes and cut list" : "Cut list", Turned::portrait);
  for (const Structure& s : structures) {
    if (s.footings.empty()) continue;
    if (structures.size() > 1) flow.heading(s.name, 80);
    lay_hole_plan(flow, brief, s, structures.size() > 1 ? 72 : 88);
    lay_hole_table(flow, brief, s);
    flow.down(2);
  }
  if (digs) flow.heading("Cut list", 30);
  lay_pieces(flow, brief, true);
}

}  // namespace garthwright::sheets
