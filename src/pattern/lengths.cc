// SPDX-License-Identifier: Apache-2.0
#include "pattern/lengths.h"

#include <fmt/format.h>

#include <cmath>
#include <new>
#include <vector>

#include "pattern/lua_box.h"

namespace garthwright::pattern {
namespace {

constexpr const char* kKind = "garthwright.length";

Traced* as_length(lua_State* lua, int index) { return static_cast<Traced*>(luaL_testudata(lua, index, kKind)); }

template <class Operation>
int arithmetic(lua_State* lua, Operation operation) {
  push(lua, operation(to_length(lua, 1, "the left side"), to_length(lua, 2, "the right side")));
  return 1;
}

int add(lua_State* lua) {
  return arithmetic(lua, [](const Traced& a, const Traced& b) { return a + b; });
}
int subtract(lua_State* lua) {
  return arithmetic(lua, [](const Traced& a, const Traced& b) { return a - b; });
}
/// A product or share of two sums is a step of its own, with a formula.
Traced counted(lua_State* lua, Traced step) {
  std::int64_t bytes = 0, quantities = 0;
  for (const Traced::Term& term : step.terms()) {
    bytes += static_cast<std::int64_t>(term.quantity->formula.size());
    quantities += static_cast<std::int64_t>(term.quantity->from.size());
  }
  LuaBox::of(lua).spend(Good::text, bytes);
  LuaBox::of(lua).spend(Good::traced, quantities);
  return step;
}

int multiply(lua_State* lua) {
  return arithmetic(
      lua, [lua](const Traced& a, const Traced& b) { return a.plain() || b.plain() ? a * b : counted(lua, a * b); });
}
int divide(lua_State* lua) {
  const double by = to_length(lua, 2, "the divisor").value();
  if (by == 0) return luaL_error(lua, "a length is divided by zero");
  return arithmetic(lua, [lua](const Traced& a, const Traced& b) { return b.plain() ? a / b : counted(lua, a / b); });
}
int negate(lua_State* lua) {
  push(lua, -to_length(lua, 1, "the length"));
  return 1;
}
int less(lua_State* lua) {
  lua_pushboolean(lua, to_length(lua, 1, "the left side").value() < to_length(lua, 2, "the right side").value());
  return 1;
}
int less_or_equal(lua_State* lua) {
  lua_pushboolean(lua, to_length(lua, 1, "the left side").value() <= to_length(lua, 2, "the right side").value());
  return 1;
}
int equal(lua_State* lua) {
  lua_pushboolean(lua, to_length(lua, 1, "the left side").value() == to_length(lua, 2, "the right side").value());
  return 1;
}
int text(lua_State* lua) {
  const std::string printed = format_length(to_length(lua, 1, "the length").value());
  lua_pushlstring(lua, printed.data(), printed.size());
  return 1;
}
int let_go(lua_State* lua) {
  if (Traced* length = as_length(lua, 1)) length->~Traced();
  return 0;
}

/// mm(length): the bare number.
int bare_number(lua_State* lua) {
  lua_pushnumber(lua, to_length(lua, 1, "mm").value());
  return 1;
}

template <class Better>
int pick(lua_State* lua, Better better) {
  Traced best = to_length(lua, 1, "the first length");
  for (int i = 2; i <= lua_gettop(lua); ++i) {
    Traced next = to_length(lua, i, "a length");
    if (better(next.value(), best.value())) best = std::move(next);
  }
  push(lua, best);
  return 1;
}
int least(lua_State* lua) {
  return pick(lua, [](double a, double b) { return a < b; });
}
int most(lua_State* lua) {
  return pick(lua, [](double a, double b) { return a > b; });
}

/// derive(name, value, formula, operand…): a step that is not a sum, with the formula people read.
int derive(lua_State* lua) {
  const std::string name = to_text(lua, 1, "the name of derive");
  const double value = to_length(lua, 2, "the value of derive").value();
  const std::string formula = to_text(lua, 3, "the formula of derive");
  std::vector<Traced> operands;
  for (int i = 4; i <= lua_gettop(lua); ++i) operands.push_back(to_length(lua, i, "an operand of derive"));
  std::int64_t quantities = 0;
  for (const Traced& operand : operands) quantities += static_cast<std::int64_t>(operand.terms().size());
  LuaBox::of(lua).spend(Good::traced, 1 + quantities);
  push(lua, Traced::step(name, value, formula, operands));
  return 1;
}

/// named(name, value): a figure of the pattern's own, so that sums can call it by name.
int named(lua_State* lua) {
  const std::string name = to_text(lua, 1, "the name of named");
  if (lua_gettop(lua) != 2) return luaL_error(lua, "named takes a name and a length");
  LuaBox::of(lua).spend(Good::traced, 1);
  push(lua, Traced::named(name, to_length(lua, 2, "the value of named").value(), "rule"));
  return 1;
}

}  // namespace

void add_lengths(lua_State* lua) {
  static constexpr luaL_Reg kMeta[] = {{"__add", add},          {"__sub", subtract}, {"__mul", multiply},
                                       {"__div", divide},       {"__unm", negate},   {"__lt", less},
                                       {"__le", less_or_equal}, {"__eq", equal},     {"__tostring", text},
                                       {"__gc", let_go},        {nullptr, nullptr}};
  luaL_newmetatable(lua, kKind);
  luaL_setfuncs(lua, kMeta, 0);
  lua_pushboolean(lua, 0);
  lua_setfield(lua, -2, "__metatable");
  lua_pop(lua, 1);
  lua_register(lua, "mm", bare_number);
  lua_register(lua, "least", least);
  lua_register(lua, "most", most);
  lua_register(lua, "derive", derive);
  lua_register(lua, "named", named);
}

void push(lua_State* lua, const Traced& length) {
  constexpr std::size_t kMostTerms = 50;  // a sum for people to read
  if (!std::isfinite(length.value()))
    raise(lua, {Severity::error, "bad-length", "the length is not a finite number", "look at what it is made of", {}});
  if (length.terms().size() > kMostTerms)
    raise(lua, {Severity::error,
                "too-much",
                fmt::format("the length is a sum of more than {} quantities", kMostTerms),
                "give part of it a name with derive or named",
                {}});
  LuaBox::of(lua).spend(Good::traced, 1 + static_cast<std::int64_t>(length.terms().size()));
  void* block = lua_newuserdatauv(lua, sizeof(Traced), 0);
  new (block) Traced(length);
  luaL_setmetatable(lua, kKind);
}

bool is_length(lua_State* lua, int index) { return as_length(lua, index) || lua_type(lua, index) == LUA_TNUMBER; }

Traced to_length(lua_State* lua, int index, const char* what) {
  if (const Traced* length = as_length(lua, index)) return *length;
  if (lua_type(lua, index) == LUA_TNUMBER) {
    const double value = lua_tonumber(lua, index);
    if (!std::isfinite(value))
      raise(lua, {Severity::error, "bad-length", fmt::format("{} is not a finite number", what), "", {}});
    return value;
  }
  if (lua_type(lua, index) == LUA_TSTRING) {
    const Result<double> read = parse_length(to_text(lua, index, what));
    if (!read) raise(lua, read.error());
    return *read;
  }
  raise(lua, {Severity::error,
              "bad-length",
              fmt::format("{} should be a length, not {}", what, luaL_typename(lua, index)),
              "give a number of mm or a length",
              {}});
}

}  // namespace garthwright::pattern
