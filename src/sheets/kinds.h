// SPDX-License-Identifier: Apache-2.0
//
// The kinds of sheet, each drawn by a file of its own. Every one adds its pages to the list.
#pragma once

#include <vector>

#include "sheets/brief.h"
#include "solid/solid.h"

namespace garthwright::sheets {

/// The solids of a plan's structures, in their order.
using AllSolids = std::vector<const solid::Solids*>;

void draw_outside(std::vector<Sheet>& sheets, const Brief& brief, const AllSolids& solids);
void draw_cover(std::vector<Sheet>& sheets, const Brief& brief, const AllSolids& solids);
void draw_elevations(std::vector<Sheet>& sheets, const Brief& brief, const AllSolids& solids);
void draw_checks(std::vector<Sheet>& sheets, const Brief& brief, const AllSolids& solids);
void draw_pieces(std::vector<Sheet>& sheets, const Brief& brief);
void draw_cutting(std::vector<Sheet>& sheets, const Brief& brief);
void draw_thrift(std::vector<Sheet>& sheets, const Brief& brief);
void draw_cost(std::vector<Sheet>& sheets, const Brief& brief);
void draw_shopping(std::vector<Sheet>& sheets, const Brief& brief);
void draw_marking_list(std::vector<Sheet>& sheets, const Brief& brief);
void draw_receiving(std::vector<Sheet>& sheets, const Brief& brief);
void draw_joints(std::vector<Sheet>& sheets, const Brief& brief);
void draw_exploded(std::vector<Sheet>& sheets, const Brief& brief);
void draw_marking_out(std::vector<Sheet>& sheets, const Brief& brief);
void draw_rod(std::vector<Sheet>& sheets, const Brief& brief);
void draw_labels(std::vector<Sheet>& sheets, const Brief& brief);
void draw_bench(std::vector<Sheet>& sheets, const Brief& brief);
void draw_templates(std::vector<Sheet>& sheets, const Brief& brief);
void draw_site(std::vector<Sheet>& sheets, const Brief& brief);
void draw_holes(std::vector<Sheet>& sheets, const Brief& brief);
void draw_steps(std::vector<Sheet>& sheets, const Brief& brief);
void draw_cautions(std::vector<Sheet>& sheets, const Brief& brief);

}  // namespace garthwright::sheets
