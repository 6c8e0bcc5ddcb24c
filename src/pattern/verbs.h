// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <span>

#include "pattern/call.h"
#include "pattern/lua_box.h"

namespace garthwright::pattern {

/// The trade's verbs as a pattern calls them (docs/patterns.md), by kind; each list is a file.
std::span<const Verb> placing_verbs();  ///< place, butt, lay, panel, brace, strut, cap, spread
std::span<const Verb>
joining_verbs();  ///< meet, try_meet, rest, halve, notch, birds_mouth, post_in_ground, post_on_shoe, on_wall
std::span<const Verb> fixing_verbs();    ///< fix, try_fix, connect
std::span<const Verb> shaping_verbs();   ///< shape, bevel, taper, hollow, mirror, assembly
std::span<const Verb> swinging_verbs();  ///< swing
std::span<const Verb> corner_verbs();    ///< mitre
std::span<const Verb> telling_verbs();   ///< refuse, remark, print_length, longest_sold, ground_at …
std::span<const Verb> common_verbs();    ///< shared, counts_in

/// All of them.
std::vector<const Verb*> all_verbs();

void add_verbs(LuaBox& box);

}  // namespace garthwright::pattern
