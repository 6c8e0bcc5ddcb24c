// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string_view>

#include "exchange/json_values.h"
#include "structure/structure.h"

namespace garthwright::exchange {

/// One entry of pieces[].machining[] in plan.json, in piece coordinates; `style` is for
/// its words. The "kind" tells which keys follow; each
/// kind's exact shape, and its volume in closed form, stand in docs/plan-file.md.
Json machining_json(const Structure& structure, const Machining& machining, LengthStyle style);

/// A face by the name it has in files: "edge_low".
std::string_view face_key(Face face);

}  // namespace garthwright::exchange
