// SPDX-License-Identifier: Apache-2.0
//
// Verbs that give a pattern what it has in common with others.
#include <fmt/format.h>

#include <filesystem>

#include "pattern/compiled.h"
#include "pattern/verbs.h"

namespace garthwright::pattern {

std::vector<std::string> shared_folders(const Shelves& shelves) {
  std::vector<std::string> folders;
  for (const std::string& folder : shelves.patterns)
    folders.push_back((std::filesystem::path(folder) / "shared").string());
  return folders;
}

namespace {

/// shared(name): what shared/NAME.lua hands out, run once for a pattern; `false` stands for it while it runs.
int shared(Call& call) {
  lua_State* lua = call.lua();
  const std::string name = call.text_at(1, "the name of a shared file");
  luaL_getsubtable(lua, LUA_REGISTRYINDEX, "shared");
  const int known = lua_gettop(lua);
  const int kind = lua_getfield(lua, known, name.c_str());
  if (kind == LUA_TTABLE) return 1;
  if (kind != LUA_TNIL) call.wrong(fmt::format("the shared files go round in a circle at \"{}\"", name));
  const Result<ShelfFile> file = read_from_shelf(shared_folders(*call.bench_().shelves), name, ".lua", "shared file");
  if (!file) call.wrong(file.error().front().what, file.error().front().cure);
  lua_pushboolean(lua, 0);
  lua_setfield(lua, known, name.c_str());
  push_compiled(lua, *file);
  lua_call(lua, 0, 1);
  if (!lua_istable(lua, -1))
    call.wrong(fmt::format("{} hands out {}", file->path, kind_at(lua, -1)), "end it with `return` and a table");
  lua_pushvalue(lua, -1);
  lua_setfield(lua, known, name.c_str());
  return 1;
}

/// counts_in(): "mm" or "ft-in", the yard's own measure, however the job is printed.
int counts_in(Call& call) {
  const std::string& units = call.bench_().job->yard.units;
  lua_pushstring(call.lua(), units.empty() ? "mm" : units.c_str());
  return 1;
}

const std::vector<Verb> kVerbs{{"shared", shared, 1, 1}, {"counts_in", counts_in, 0, 0}};

}  // namespace

std::span<const Verb> common_verbs() { return kVerbs; }

}  // namespace garthwright::pattern
