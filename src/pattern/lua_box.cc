// SPDX-License-Identifier: Apache-2.0
#include "pattern/lua_box.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <cstring>
#include <ctime>
#include <utility>
#include <vector>

#include "base/plain_text.h"

namespace garthwright::pattern {
namespace {

constexpr int kCountStep = 1000;    // instructions between two looks at the budget
constexpr int kLooksToOne = 8;      // asked for, to one at the clock
constexpr int kMostTimesFull = 40;  // each time memory is full Lua looks for garbage in all of it, which takes a while

double processor_seconds() {
  timespec now{};
  ::clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
  return static_cast<double>(now.tv_sec) + 1e-9 * static_cast<double>(now.tv_nsec);
}

/// pairs(t) in sorted order: numbers first, then texts. Of a table that hands out another's, the other's.
int sorted_pairs(lua_State* lua) {
  luaL_checktype(lua, 1, LUA_TTABLE);
  if (luaL_callmeta(lua, 1, "__pairs") != 0) lua_replace(lua, 1);
  std::vector<double> numbers;
  std::vector<std::string> texts;
  lua_pushnil(lua);
  while (lua_next(lua, 1) != 0) {
    if (lua_type(lua, -2) == LUA_TNUMBER)
      numbers.push_back(lua_tonumber(lua, -2));
    else if (lua_type(lua, -2) == LUA_TSTRING)
      texts.emplace_back(lua_tostring(lua, -2));
    lua_pop(lua, 1);
  }
  LuaBox::of(lua).spend(Good::steps, kStepsOfAThing * static_cast<std::int64_t>(numbers.size() + texts.size()));
  std::sort(numbers.begin(), numbers.end());
  std::sort(texts.begin(), texts.end());
  lua_createtable(lua, static_cast<int>(numbers.size() + texts.size()), 0);
  lua_Integer place = 1;
  for (double n : numbers) {
    const auto whole = static_cast<lua_Integer>(n);
    if (static_cast<double>(whole) == n)
      lua_pushinteger(lua, whole);
    else
      lua_pushnumber(lua, n);
    lua_rawseti(lua, -2, place++);
  }
  for (const std::string& t : texts) {
    lua_pushlstring(lua, t.data(), t.size());
    lua_rawseti(lua, -2, place++);
  }
  lua_pushvalue(lua, 1);
  lua_pushinteger(lua, 0);
  const auto next = [](lua_State* l) {
    const lua_Integer at = lua_tointeger(l, lua_upvalueindex(3)) + 1;
    lua_pushinteger(l, at);
    lua_replace(l, lua_upvalueindex(3));
    if (lua_rawgeti(l, lua_upvalueindex(1), at) == LUA_TNIL) return 1;
    lua_pushvalue(l, -1);
    lua_rawget(l, lua_upvalueindex(2));
    return 2;
  };
  lua_pushcclosure(lua, next, 3);
  return 1;
}

int append(lua_State* lua) {
  luaL_checktype(lua, 1, LUA_TTABLE);
  if (lua_gettop(lua) != 2) return luaL_error(lua, "insert takes a list and one value, which goes to its end");
  lua_rawseti(lua, 1, static_cast<lua_Integer>(lua_rawlen(lua, 1)) + 1);
  return 0;
}

int take_last(lua_State* lua) {
  luaL_checktype(lua, 1, LUA_TTABLE);
  const auto last = static_cast<lua_Integer>(lua_rawlen(lua, 1));
  lua_rawgeti(lua, 1, last);
  if (last > 0) {
    lua_pushnil(lua);
    lua_rawseti(lua, 1, last);
  }
  return 1;
}

/// Whether it has a text of its own. Lua would name others by their address, which is another in every run.
bool has_text(lua_State* lua, int index) {
  if (lua_type(lua, index) <= LUA_TSTRING && lua_type(lua, index) != LUA_TLIGHTUSERDATA) return true;
  if (luaL_getmetafield(lua, index, "__tostring") == LUA_TNIL) return false;
  lua_pop(lua, 1);
  return true;
}

int text_of(lua_State* lua) {
  luaL_checkany(lua, 1);
  if (!has_text(lua, 1))
    return luaL_error(lua, "a %s has no text; give a number, a text or a length", luaL_typename(lua, 1));
  luaL_tolstring(lua, 1, nullptr);
  return 1;
}

/// string.format without addresses.
int format(lua_State* lua) {
  const char* at = luaL_checkstring(lua, 1);
  while ((at = std::strchr(at, '%')) != nullptr) {
    at += 1 + std::strspn(at + 1, "-+ #0123456789.");
    if (*at == 'p') return luaL_error(lua, "format has no %%p");
    if (*at != '\0') ++at;
  }
  for (int i = 2; i <= lua_gettop(lua); ++i)
    if (!has_text(lua, i))
      return luaL_error(lua, "a %s has no text; give a number, a text or a length", luaL_typename(lua, i));
  lua_pushvalue(lua, lua_upvalueindex(1));
  lua_insert(lua, 1);
  lua_call(lua, lua_gettop(lua) - 1, 1);
  return 1;
}

const char* name_of_global(lua_State* lua) {
  return has_text(lua, 2) ? luaL_tolstring(lua, 2, nullptr) : luaL_typename(lua, 2);
}

int unknown_global(lua_State* lua) { return luaL_error(lua, "there is no \"%s\"", name_of_global(lua)); }

int new_global(lua_State* lua) {
  const char* name = name_of_global(lua);
  return luaL_error(lua, "\"%s\" is not declared; write local %s", name, name);
}

/// "arbor.lua:14: text" → place and text.
Diagnostic from_message(std::string message) {
  Diagnostic diagnostic{Severity::error, "pattern-error", message, "mend the pattern", {}};
  const std::size_t first = message.find(':');
  if (first == std::string::npos) return diagnostic;
  const std::size_t second = message.find(':', first + 1);
  if (second == std::string::npos) return diagnostic;
  const std::string number = message.substr(first + 1, second - first - 1);
  if (number.empty() || number.find_first_not_of("0123456789") != std::string::npos || number.size() > 8)
    return diagnostic;
  diagnostic.where = {message.substr(0, first), std::atoi(number.c_str()), 0, {}};
  diagnostic.what = message.substr(std::min(message.size(), second + 2));
  return diagnostic;
}

void keep_only(lua_State* lua, const char* library, std::initializer_list<const char*> names) {
  lua_newtable(lua);
  lua_getglobal(lua, library);
  for (const char* name : names) {
    lua_getfield(lua, -1, name);
    lua_setfield(lua, -3, name);
  }
  lua_pop(lua, 1);
  lua_setglobal(lua, library);
}

}  // namespace

void* LuaBox::allocate(void* self, void* block, std::size_t old_size, std::size_t new_size) {
  LuaBox& box = *static_cast<LuaBox*>(self);
  if (!block) old_size = 0;
  if (new_size == 0) {
    std::free(block);
    box.used_ -= old_size;
    return nullptr;
  }
  if (new_size > old_size) {
    box.allocated_ += new_size;
    const bool full = box.used_ + (new_size - old_size) > box.limits_.memory_bytes;
    box.times_full_ += full;
    if (full || box.times_full_ > kMostTimesFull || box.allocated_ > box.limits_.allocated_bytes) {
      if (box.lua_) box.stopped_at_ = running_line(box.lua_);
      return nullptr;
    }
  }
  void* moved = std::realloc(block, new_size);
  if (moved) box.used_ = box.used_ - old_size + new_size;
  return moved;
}

void LuaBox::count(lua_State* lua, lua_Debug*) {
  LuaBox& box = of(lua);
  box.spend(Good::steps, kCountStep);
  box.look_at_clock();
}

void LuaBox::look_at_clock() {
  if (++looks_ % kLooksToOne != 0) return;
  if (processor_seconds() - began_ > limits_.seconds)
    raise(lua_, {Severity::error,
                 "too-much",
                 fmt::format("the pattern runs longer than {} s", limits_.seconds),
                 "does a loop never end?",
                 {}});
}

void LuaBox::spend(Good good, std::int64_t count) {
  struct Named {
    std::int64_t most;
    const char* words;
  };
  const std::array<Named, 5> limits{
      {{limits_.steps, "the pattern runs too long: more than {} steps"},
       {limits_.traced, "the pattern makes lengths of more than {} quantities in all"},
       {limits_.bodies, "the pattern makes more than {} timbers and panels"},
       {limits_.parts, "the pattern makes more than {} joints, fixings, cuts and remarks"},
       {limits_.text_bytes, "the pattern's names and notes have more than {} bytes"}}};
  const auto at = static_cast<std::size_t>(good);
  spent_[at] += count;
  if (spent_[at] <= limits[at].most) return;
  raise(lua_, {Severity::error,
               "too-much",
               fmt::format(fmt::runtime(limits[at].words), limits[at].most),
               "does a loop never end?",
               {}});
}

LuaBox::LuaBox(Limits limits)
    : limits_(limits), began_(processor_seconds()), lua_(lua_newstate(&LuaBox::allocate, this)) {
  if (!lua_) return;
  *static_cast<LuaBox**>(lua_getextraspace(lua_)) = this;
  lua_sethook(lua_, &LuaBox::count, LUA_MASKCOUNT, kCountStep);
  const Result<void> opened = guarded([](lua_State* lua) {
    luaL_requiref(lua, LUA_GNAME, luaopen_base, 1);
    luaL_requiref(lua, LUA_MATHLIBNAME, luaopen_math, 1);
    luaL_requiref(lua, LUA_STRLIBNAME, luaopen_string, 1);
    luaL_requiref(lua, LUA_TABLIBNAME, luaopen_table, 1);
    lua_settop(lua, 0);
    // No way to files, other code, the collector, the metatables of others, or past an error.
    for (const char* name :
         {"load", "loadfile", "dofile", "collectgarbage", "print", "warn", "pcall", "xpcall", "next", "pairs", "rawset",
          "rawget", "rawlen", "rawequal", "setmetatable", "getmetatable", "require"}) {
      lua_pushnil(lua);
      lua_setglobal(lua, name);
    }
    keep_only(lua, "math",
              {"abs", "ceil", "floor", "max", "min", "sqrt", "sin", "cos", "tan", "asin", "acos", "atan", "rad", "deg",
               "pi", "huge", "tointeger", "type"});
    // No patterns and no rep: a short text could keep them busy for hours inside one instruction.
    keep_only(lua, "string", {"format", "upper", "lower", "sub", "len"});
    lua_getglobal(lua, "string");
    lua_getfield(lua, -1, "format");
    lua_pushcclosure(lua, format, 1);
    lua_setfield(lua, -2, "format");
    lua_pushcfunction(lua, text_of);
    lua_setglobal(lua, "tostring");
    lua_pushliteral(lua, "");
    lua_getmetatable(lua, -1);
    lua_getglobal(lua, "string");
    lua_setfield(lua, -2, "__index");
    lua_settop(lua, 0);
    // Only what costs the same however long the list is.
    lua_newtable(lua);
    lua_pushcfunction(lua, append);
    lua_setfield(lua, -2, "insert");
    lua_pushcfunction(lua, take_last);
    lua_setfield(lua, -2, "remove");
    lua_setglobal(lua, "table");
    lua_pushcfunction(lua, sorted_pairs);
    lua_setglobal(lua, "pairs");
  });
  if (!opened) {
    lua_close(lua_);
    lua_ = nullptr;
  }
}

LuaBox::~LuaBox() {
  if (lua_) lua_close(lua_);
}

LuaBox& LuaBox::of(lua_State* lua) { return **static_cast<LuaBox**>(lua_getextraspace(lua)); }

void LuaBox::add(const char* name, lua_CFunction function) { lua_register(lua_, name, function); }

void LuaBox::seal() {
  lua_pushglobaltable(lua_);
  lua_createtable(lua_, 0, 2);
  lua_pushcfunction(lua_, unknown_global);
  lua_setfield(lua_, -2, "__index");
  lua_pushcfunction(lua_, new_global);
  lua_setfield(lua_, -2, "__newindex");
  lua_setmetatable(lua_, -2);
  lua_pop(lua_, 1);
}

Result<void> LuaBox::guarded(const std::function<void(lua_State*)>& work) {
  if (!lua_) return fail("no-memory", "there is no memory left to run a pattern");
  pending.reset();
  lua_pushcfunction(lua_, [](lua_State* lua) {
    const auto& run = *static_cast<const std::function<void(lua_State*)>*>(lua_touserdata(lua, 1));
    lua_settop(lua, 0);
    run(lua);
    return 0;
  });
  lua_pushlightuserdata(lua_, const_cast<void*>(static_cast<const void*>(&work)));
  // Where a verb was called last in a function, Lua no longer knows the line that called it; a line above does.
  lua_pushcfunction(lua_, [](lua_State* lua) {
    LuaBox& box = of(lua);
    if (!box.pending) box.stopped_at_ = running_line(lua);
    return 1;
  });
  lua_insert(lua_, 1);
  const int status = lua_pcall(lua_, 1, 0, 1);
  if (status == LUA_OK) {
    lua_settop(lua_, 0);
    return {};
  }
  const char* text = status > 0 && lua_gettop(lua_) > 0 ? lua_tostring(lua_, -1) : nullptr;
  const bool own_place = pending.has_value();
  Diagnostic diagnostic = pending ? std::move(*pending) : from_message(text ? text : "the pattern failed");
  pending.reset();
  lua_settop(lua_, 0);
  if (status == LUA_ERRMEM)
    diagnostic = {
        Severity::error, "no-memory", "the pattern uses more memory than it is given", "mend the pattern", {}};
  // Lua's own messages shorten a long path.
  if (!own_place && (diagnostic.where.file.empty() || diagnostic.where.line == stopped_at_.line))
    diagnostic.where = stopped_at_;
  return tl::make_unexpected(Diagnostics{std::move(diagnostic)});
}

void raise(lua_State* lua, Diagnostic diagnostic) {
  if (diagnostic.where.file.empty()) diagnostic.where = running_line(lua);
  LuaBox::of(lua).pending = diagnostic;
  lua_pushlstring(lua, diagnostic.what.data(), diagnostic.what.size());
  lua_error(lua);
  std::abort();  // lua_error does not return
}

Place running_line(lua_State* lua) {
  lua_Debug about;
  for (int level = 0; lua_getstack(lua, level, &about) == 1; ++level) {
    lua_getinfo(lua, "Sl", &about);
    if (about.currentline <= 0) continue;
    // As Lua names it: "@" and the path.
    return {about.source[0] == '@' ? about.source + 1 : about.short_src, about.currentline, 0, {}};
  }
  return {};
}

std::string to_text(lua_State* lua, int index, const char* what) {
  const auto wrong = [&](const std::string& is, const char* cure) {
    raise(lua, {Severity::error, "bad-text", fmt::format("{} {}", what, is), cure, {}});
  };
  if (lua_type(lua, index) != LUA_TSTRING)
    wrong(fmt::format("should be a text, not {}", luaL_typename(lua, index)), "write it in quotes");
  std::size_t size = 0;
  const char* bytes = lua_tolstring(lua, index, &size);
  if (size > kLongestText) wrong(fmt::format("is a text of {} bytes", size), "give at most 1000");
  LuaBox::of(lua).spend(Good::text, static_cast<std::int64_t>(size));
  std::string text(bytes, size);
  if (!is_plain_text(text)) wrong("holds control characters or is no UTF-8", "write it on one line");
  return text;
}

void raise(lua_State* lua, const Diagnostics& diagnostics) { raise(lua, diagnostics.front()); }

}  // namespace garthwright::pattern
