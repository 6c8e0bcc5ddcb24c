// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "pattern/lua_box.h"

namespace garthwright::pattern {

/// The trade's verbs as a pattern calls them (docs/patterns.md): place, butt, panel, post_in_ground, meet, rest,
/// on_wall, halve, notch, brace, cap, shape, fix, spread, mirror, assembly, refuse, remark.
void add_verbs(LuaBox& box);

}  // namespace garthwright::pattern
