// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <lua.hpp>

#include "base/traced.h"

namespace garthwright::pattern {

/// Lengths in a pattern: values that add, subtract, scale and compare like numbers and remember the sum they came from.
/// A plain number is millimetres; a text is read as a person writes lengths.
void add_lengths(lua_State* lua);

void push(lua_State* lua, const Traced& length);
bool is_length(lua_State* lua, int index);
/// The length at `index`; raises the pattern's error when it is none.
Traced to_length(lua_State* lua, int index, const char* what);

}  // namespace garthwright::pattern
