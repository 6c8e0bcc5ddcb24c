// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <lua.hpp>

#include "pattern/shelves.h"

namespace garthwright::pattern {

/// Pushes a pattern file as a function. Files are read as text only, never as bytecode; what they were compiled to is
/// kept, so that a file asked for again and again (a slider, a study of a choice) is parsed once. Ends the running call
/// with Lua's message when the text is no Lua.
void push_compiled(lua_State* lua, const ShelfFile& file);

}  // namespace garthwright::pattern
