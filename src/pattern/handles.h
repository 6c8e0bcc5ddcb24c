// SPDX-License-Identifier: Apache-2.0
//
// What a pattern holds in its hands: a timber or panel, a section, an end shape. Each is a value of its own kind that
// Lua cannot make or change, so that a verb takes only what a verb or a choice gave.
#pragma once

#include <lua.hpp>
#include <string>

#include "structure/profile.h"
#include "structure/structure.h"

namespace garthwright::pattern {

void add_handles(lua_State* lua);

/// Reads piece.left … piece.top, piece.length, .width, .thickness.
void push(lua_State* lua, Body body);
/// None when something else stands at `index`.
const Body* as_body(lua_State* lua, int index);

/// A section as a choice gave it; `width` and `thickness` are traced by the choice's name. Reads .name, .width,
/// .thickness.
struct SectionInHand {
  SectionId id;
  std::string name;
  Traced width, thickness;
};
void push(lua_State* lua, const SectionInHand& section);
const SectionInHand* as_section(lua_State* lua, int index);

/// An end shape as a choice gave it. Reads .name.
void push(lua_State* lua, const Profile& profile);
const Profile* as_profile(lua_State* lua, int index);

/// "a section", "a text", "nothing": what stands at `index`, for people.
std::string kind_at(lua_State* lua, int index);

}  // namespace garthwright::pattern
