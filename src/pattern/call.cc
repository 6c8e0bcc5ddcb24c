// SPDX-License-Identifier: Apache-2.0
#include "pattern/call.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/near.h"
#include "base/quoted.h"
#include "pattern/lengths.h"

namespace garthwright::pattern {
namespace {

constexpr double kFarthest = 1e6;  // mm; a garden is never a kilometre
constexpr lua_Integer kMostInAList = 10'000;

const char* words(Takes takes) {
  switch (takes) {
    case Takes::length:
      return "a length";
    case Takes::lengths:
      return "a list of lengths";
    case Takes::number:
      return "a number";
    case Takes::text:
      return "a text";
    case Takes::texts:
      return "a text or a list of texts";
    case Takes::yes_no:
      return "true or false";
    case Takes::way:
      return "a way: right, left, back, front, up or down";
    case Takes::body:
      return "a piece or a panel";
    case Takes::bodies:
      return "a list of pieces";
    case Takes::place:
      return "a place: { x = …, y = …, z = … }";
    case Takes::section:
      return "a section that a choice gave, or its trade name";
    case Takes::profile:
      return "an end shape that a choice gave";
  }
  return "";
}

/// Whether each of a list (a table counted from 1, without gaps and other keys) is what `good` wants.
template <class Good>
bool is_list_of(lua_State* lua, int index, Good good) {
  if (!lua_istable(lua, index)) return false;
  const int list = lua_absindex(lua, index);
  lua_Integer keys = 0;
  lua_pushnil(lua);
  while (lua_next(lua, list) != 0) {
    const bool right = ++keys <= kMostInAList && lua_isinteger(lua, -2) && good(lua_gettop(lua));
    lua_pop(lua, right ? 1 : 2);
    if (!right) return false;
  }
  return keys == static_cast<lua_Integer>(lua_rawlen(lua, list));
}

bool is_text(lua_State* lua, int index) { return lua_type(lua, index) == LUA_TSTRING; }

bool suits(lua_State* lua, int index, Takes takes) {
  switch (takes) {
    case Takes::length:
      return is_length(lua, index) || is_text(lua, index);
    case Takes::lengths:
      return is_list_of(lua, index, [&](int at) { return is_length(lua, at) || is_text(lua, at); });
    case Takes::number:
      return lua_type(lua, index) == LUA_TNUMBER;
    case Takes::text:
      return is_text(lua, index);
    case Takes::texts:
      return is_text(lua, index) || is_list_of(lua, index, [&](int at) { return is_text(lua, at); });
    case Takes::yes_no:
      return lua_isboolean(lua, index);
    case Takes::way:
      return is_text(lua, index) && way_named(lua_tostring(lua, index));
    case Takes::body:
      return as_body(lua, index);
    case Takes::bodies:
      return as_body(lua, index) || is_list_of(lua, index, [&](int at) { return as_body(lua, at) != nullptr; });
    case Takes::place:
      return lua_istable(lua, index);
    case Takes::section:
      return as_section(lua, index) || is_text(lua, index);
    case Takes::profile:
      return as_profile(lua, index);
  }
  return false;
}

std::string key_at(lua_State* lua, int index) {
  return lua_type(lua, index) == LUA_TSTRING ? std::string(lua_tostring(lua, index)) : "a number";
}

/// The pattern's figure, within the world.
Traced within(lua_State* lua, int index, const std::string& called) {
  Traced length = to_length(lua, index, called.c_str());
  if (!(std::abs(length.value()) <= kFarthest))
    raise(lua, {Severity::error,
                "bad-length",
                fmt::format("{} is {:g} mm", called, length.value()),
                "lengths go up to 1000 m",
                {}});
  return length;
}

}  // namespace

Names operator+(Names a, const Names& b) {
  a.insert(a.end(), b.begin(), b.end());
  return a;
}

Call::Call(lua_State* lua, const Verb& verb) : lua_(lua), verb_(verb), table_(0) {
  const int given = lua_gettop(lua);
  if (given < verb.fewest || given > verb.most)
    wrong(verb.fewest == verb.most
              ? fmt::format("{} takes {} things, not {}", verb.name, verb.most, given)
              : fmt::format("{} takes {} to {} things, not {}", verb.name, verb.fewest, verb.most, given));
  if (verb.table == 0 || given < verb.table || lua_isnil(lua, verb.table)) return;
  if (!lua_istable(lua, verb.table))
    wrong(fmt::format("{} takes a table of named values, not {}", verb.name, kind_at(lua, verb.table)));
  table_ = verb.table;
  check_names();
}

void Call::check_names() const {
  for (lua_pushnil(lua_); lua_next(lua_, table_) != 0; lua_pop(lua_, 1)) {
    const std::string key = key_at(lua_, -2);
    const auto found =
        std::find_if(verb_.names.begin(), verb_.names.end(), [&](const Name& name) { return name.name == key; });
    if (found == verb_.names.end()) {
      std::vector<std::string> known;
      for (const Name& name : verb_.names) known.emplace_back(name.name);
      wrong(fmt::format("{} has no {}", verb_.name, quoted(key)), suggest(key, known));
    }
    const Takes takes = found->takes;
    if (!suits(lua_, lua_gettop(lua_), takes))
      wrong(fmt::format("{} is {}", called(key.c_str()), kind_at(lua_, -1)), fmt::format("give {}", words(takes)));
  }
}

void Call::wrong(const std::string& what, const std::string& cure) const {
  raise(lua_, {Severity::error, "pattern-error", what, cure, {}});
}

std::string Call::called(const char* name) const { return fmt::format("{} of {}", name, verb_.name); }

int Call::push(const char* name) const {
  if (table_ == 0) return lua_pushnil(lua_), LUA_TNIL;
  return lua_getfield(lua_, table_, name);
}

// ---- by their number
// --------------------------------------------------------------------------------------------------

Body Call::body_at(int index, const char* what) const {
  const Body* body = as_body(lua_, index);
  if (!body) wrong(fmt::format("{} of {} is {}", what, verb_.name, kind_at(lua_, index)), "give a piece or a panel");
  return *body;
}

PieceId Call::piece_at(int index, const char* what) const {
  const Body body = body_at(index, what);
  if (body.kind != Body::Kind::piece) wrong(fmt::format("{} of {} is a panel", what, verb_.name), "give a timber");
  return {body.index};
}

std::vector<Body> Call::bodies_at(int index, const char* what) const {
  if (const Body* body = as_body(lua_, index)) return {*body};
  if (!suits(lua_, index, Takes::bodies))
    wrong(fmt::format("{} of {} is {}", what, verb_.name, kind_at(lua_, index)), "give a list of pieces");
  std::vector<Body> bodies;
  const int list = lua_absindex(lua_, index);
  const auto count = static_cast<lua_Integer>(lua_rawlen(lua_, list));
  box().spend(Good::steps, count * kStepsOfAThing);
  for (lua_Integer i = 1; i <= count; ++i) {
    lua_rawgeti(lua_, list, i);
    bodies.push_back(*as_body(lua_, -1));
    lua_pop(lua_, 1);
  }
  return bodies;
}

std::string Call::text_at(int index, const char* what) const {
  return to_text(lua_, index, fmt::format("{} of {}", what, verb_.name).c_str());
}

std::string Call::text_at(int index, const char* what, const char* otherwise) const {
  return lua_isnoneornil(lua_, index) ? otherwise : text_at(index, what);
}

// ---- by their name
// ----------------------------------------------------------------------------------------------------

bool Call::has(const char* name) const {
  const bool there = push(name) != LUA_TNIL;
  lua_pop(lua_, 1);
  return there;
}

std::string Call::text(const char* name, const char* otherwise) const {
  if (otherwise && !has(name)) return otherwise;
  push(name);
  std::string value = to_text(lua_, -1, called(name).c_str());
  lua_pop(lua_, 1);
  return value;
}

std::vector<std::string> Call::texts(const char* name, const char* otherwise) const {
  push(name);
  if (!lua_istable(lua_, -1)) return lua_pop(lua_, 1), std::vector<std::string>{text(name, otherwise)};
  std::vector<std::string> values;
  const auto count = static_cast<lua_Integer>(lua_rawlen(lua_, -1));
  for (lua_Integer i = 1; i <= count; ++i) {
    lua_rawgeti(lua_, -1, i);
    values.push_back(to_text(lua_, -1, called(name).c_str()));
    lua_pop(lua_, 1);
  }
  lua_pop(lua_, 1);
  if (values.empty()) wrong(fmt::format("{} is an empty list", called(name)), "name one at least");
  return values;
}

int Call::word(const char* name, const std::string& given, const std::vector<std::string>& known) const {
  const auto found = std::find(known.begin(), known.end(), given);
  if (found == known.end()) wrong(fmt::format("{} is {}", called(name), quoted(given)), suggest(given, known));
  return static_cast<int>(found - known.begin());
}

Traced Call::length(const char* name) const {
  if (push(name) == LUA_TNIL) wrong(fmt::format("{} needs {}", verb_.name, name), "give a length");
  Traced value = within(lua_, -1, called(name));
  lua_pop(lua_, 1);
  return value;
}

std::vector<double> Call::lengths(const char* name) const {
  std::vector<double> values;
  push(name);
  const auto count = lua_istable(lua_, -1) ? static_cast<lua_Integer>(lua_rawlen(lua_, -1)) : 0;
  for (lua_Integer i = 1; i <= count; ++i) {
    lua_rawgeti(lua_, -1, i);
    values.push_back(within(lua_, -1, called(name)).value());
    lua_pop(lua_, 1);
  }
  lua_pop(lua_, 1);
  return values;
}

double Call::number(const char* name, double otherwise, double least, double most) const {
  if (!has(name)) return otherwise;
  push(name);
  const double value = lua_tonumber(lua_, -1);
  lua_pop(lua_, 1);
  if (!(value >= least && value <= most))
    wrong(fmt::format("{} is {:g}", called(name), value), fmt::format("give {:g} to {:g}", least, most));
  return value;
}

int Call::whole(const char* name, int otherwise, int least, int most) const {
  const double value = number(name, otherwise, least, most);
  if (value != std::floor(value)) wrong(fmt::format("{} is {:g}", called(name), value), "give a whole number");
  return static_cast<int>(value);
}

bool Call::flag(const char* name) const {
  push(name);
  const bool value = lua_toboolean(lua_, -1);
  lua_pop(lua_, 1);
  return value;
}

Way Call::way(const char* name, std::optional<Way> otherwise) const {
  if (!has(name)) {
    if (!otherwise) wrong(fmt::format("{} needs {}", verb_.name, name), fmt::format("give {}", words(Takes::way)));
    return *otherwise;
  }
  push(name);
  const Way way = *way_named(lua_tostring(lua_, -1));
  lua_pop(lua_, 1);
  return way;
}

Body Call::body(const char* name) const {
  push(name);
  const Body* found = as_body(lua_, -1);
  if (!found) wrong(fmt::format("{} needs {}", verb_.name, name), fmt::format("give {}", words(Takes::body)));
  const Body body = *found;
  lua_pop(lua_, 1);
  return body;
}

std::vector<Body> Call::bodies(const char* name) const {
  if (push(name) == LUA_TNIL)
    wrong(fmt::format("{} needs {}", verb_.name, name), fmt::format("give {}", words(Takes::bodies)));
  std::vector<Body> bodies = bodies_at(lua_gettop(lua_), name);
  lua_pop(lua_, 1);
  return bodies;
}

std::array<Traced, 3> Call::place(const char* name) const {
  std::array<Traced, 3> at;
  if (push(name) == LUA_TNIL) return lua_pop(lua_, 1), at;
  const int table = lua_gettop(lua_);
  static const std::vector<std::string> kAxes{"x", "y", "z"};
  for (lua_pushnil(lua_); lua_next(lua_, table) != 0; lua_pop(lua_, 1))
    if (const std::string key = key_at(lua_, -2); std::find(kAxes.begin(), kAxes.end(), key) == kAxes.end())
      wrong(fmt::format("{} has no {}", called(name), quoted(key)), suggest(key, kAxes));
  for (std::size_t i = 0; i < 3; ++i) {
    if (lua_getfield(lua_, table, kAxes[i].c_str()) != LUA_TNIL)
      at[i] = within(lua_, -1, fmt::format("{} in {}", kAxes[i], called(name)));
    lua_pop(lua_, 1);
  }
  lua_pop(lua_, 1);
  return at;
}

SectionInHand Call::section(const char* name) const {
  if (push(name) == LUA_TNIL)
    wrong(fmt::format("{} needs {}", verb_.name, name), fmt::format("give {}", words(Takes::section)));
  if (const SectionInHand* held = as_section(lua_, -1)) {
    SectionInHand section = *held;
    lua_pop(lua_, 1);
    return section;
  }
  const std::string trade_name = to_text(lua_, -1, called(name).c_str());
  lua_pop(lua_, 1);
  const SectionId id = use_section(lua_, trade_name, bench(lua_).order->where);
  const timber::Section& section = structure()[id];
  return {id, trade_name, Traced::named(trade_name + " width", section.width_mm, "yard"),
          Traced::named(trade_name + " thickness", section.thickness_mm, "yard")};
}

const Profile& Call::profile(const char* name) const {
  push(name);
  const Profile* profile = as_profile(lua_, -1);
  if (!profile) wrong(fmt::format("{} needs {}", verb_.name, name), fmt::format("give {}", words(Takes::profile)));
  lua_pop(lua_, 1);
  return *profile;  // the table that the call was given holds it
}

// ---- what it gives
// ----------------------------------------------------------------------------------------------------

int Call::give(Body body) const {
  pattern::push(lua_, body);
  return 1;
}

int Call::give(const std::vector<Body>& bodies) const {
  lua_createtable(lua_, static_cast<int>(bodies.size()), 0);
  for (std::size_t i = 0; i < bodies.size(); ++i) {
    pattern::push(lua_, bodies[i]);
    lua_rawseti(lua_, -2, static_cast<lua_Integer>(i) + 1);
  }
  return 1;
}

}  // namespace garthwright::pattern
