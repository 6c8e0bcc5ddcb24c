// SPDX-License-Identifier: Apache-2.0
#include "pattern/compiled.h"

#include <memory>
#include <string>
#include <string_view>
#include <utility>

#include "base/kept.h"

namespace garthwright::pattern {
namespace {

Kept<std::string>& kept() {
  static Kept<std::string> codes(16);  // far more than a job has patterns, and at most a few MB
  return codes;
}

int append(lua_State*, const void* bytes, std::size_t size, void* to) {
  static_cast<std::string*>(to)->append(static_cast<const char*>(bytes), size);
  return 0;
}

}  // namespace

void push_compiled(lua_State* lua, const ShelfFile& file) {
  const std::string chunk = "@" + file.path;
  if (const auto known = kept().find(file.path, file.bytes)) {
    if (luaL_loadbufferx(lua, known->data(), known->size(), chunk.c_str(), "b") != LUA_OK) lua_error(lua);
    return;
  }
  std::string_view text = file.bytes;
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);  // some editors put a byte order mark before UTF-8
  if (luaL_loadbufferx(lua, text.data(), text.size(), chunk.c_str(), "t") != LUA_OK) lua_error(lua);
  std::string code;
  if (lua_dump(lua, append, &code, 0) == 0) kept().keep(file.path, file.bytes, std::move(code));
}

}  // namespace garthwright::pattern
