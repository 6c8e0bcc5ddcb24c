// SPDX-License-Identifier: Apache-2.0
//
// Parts of sheets that more than one kind of sheet is made of.
#pragma once

#include <string>
#include <vector>

#include "sheets/flow.h"
#include "sheets/kinds.h"

namespace garthwright::sheets {

/// Front and side of every structure with their sizes, on pages of their own.
void draw_fronts(std::vector<Sheet>& sheets, const Brief& brief, const AllSolids& solids, const std::string& id);

/// The structure drawn apart with its marks at one margin or both.
void draw_drawn_apart(Items& items, const Structure& structure, const Rect& area, bool both_margins);
/// The title of a plan's page that has the structure drawn apart beside it, behind the structure's name.
inline constexpr const char* kPlanAndDrawnApart = "Plan, and drawn apart";

/// The holes from above, `height` mm high with what is around. False when there is none.
bool lay_hole_plan(Flow& flow, const Brief& brief, const Structure& structure, double height);
/// Where each hole is from the base line, how wide and how deep.
void lay_hole_table(Flow& flow, const Brief& brief, const Structure& structure);

/// Every mark with its section, size and length; with boxes to tick for one who cuts.
void lay_pieces(Flow& flow, const Brief& brief, bool ticks);

}  // namespace garthwright::sheets
