// SPDX-License-Identifier: Apache-2.0
//
// What a picture on a screen needs of a plan, small and quick: docs/openapi.json describes each object by the name that
// stands here.
#pragma once

#include <vector>

#include "exchange/gltf.h"
#include "exchange/json_values.h"
#include "plan/plan.h"

namespace garthwright::exchange {

/// Model: shapes (triangles and sharp edges, once for all equal bodies, under an id of their content), where each piece
/// and panel stands, holes, walls, what is there already, and the sizes to take hold of. mm, in the garden. `models`:
/// the plan's structures. Fixings only where they are asked for: there are many, and a dragged picture does without.
enum class Fixings { without, with };
Json model_json(const Plan& plan, const std::vector<Model>& models, Fixings fixings = Fixings::without,
                double deflection = 0.25);

/// Summary: price, mass, lengths to buy, pieces.
Json summary_json(const Plan& plan);

/// Structures with the choices as they were taken.
Json taken_choices_json(const Garden& garden);

/// PieceLine of every mark.
Json piece_lines_json(const Plan& plan);

}  // namespace garthwright::exchange
