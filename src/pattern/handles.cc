// SPDX-License-Identifier: Apache-2.0
#include "pattern/handles.h"

#include <fmt/format.h>

#include <algorithm>
#include <new>
#include <vector>

#include "base/near.h"
#include "base/quoted.h"
#include "pattern/choices.h"
#include "pattern/lengths.h"
#include "structure/joinery.h"

namespace garthwright::pattern {
namespace {

constexpr const char* kBody = "garthwright.body";
constexpr const char* kSection = "garthwright.section";
constexpr const char* kProfile = "garthwright.profile";

template <class Thing>
const Thing* as(lua_State* lua, int index, const char* kind) {
  return static_cast<const Thing*>(luaL_testudata(lua, index, kind));
}

template <class Thing>
void push_as(lua_State* lua, const Thing& thing, const char* kind) {
  new (lua_newuserdatauv(lua, sizeof(Thing), 0)) Thing(thing);
  luaL_setmetatable(lua, kind);
}

template <class Thing>
int let_go(lua_State* lua) {
  static_cast<Thing*>(lua_touserdata(lua, 1))->~Thing();
  return 0;
}

int no_field(lua_State* lua, const char* of, const std::string& key, const std::vector<std::string>& known) {
  return luaL_error(lua, "%s has no %s; %s", of, quoted(key).c_str(), suggest(key, known).c_str());
}

/// None of a body that stands askew: how far it reaches changes with each cut.
int* length_in_hand(lua_State* lua, const Structure& structure, Body body, Way way) {
  if (body.kind != Body::Kind::piece) return nullptr;
  const Piece& piece = structure[PieceId{body.index}];
  if (!way_of(piece.frame.x) || !way_of(piece.frame.y)) return nullptr;
  std::vector<FacesInHand>& all = bench(lua).faces;
  if (all.size() < structure.pieces.size()) all.resize(structure.pieces.size());
  FacesInHand& faces = all[static_cast<std::size_t>(body.index)];
  const Vec3 size = piece.blank().max;
  const Vec3 corner{piece.corner[0].value(), piece.corner[1].value(), piece.corner[2].value()};
  if (!(faces.frame == piece.frame && faces.size == size && faces.corner == corner)) {
    for (const int length : faces.lengths)
      if (length != 0) luaL_unref(lua, LUA_REGISTRYINDEX, length);
    faces = {piece.frame, size, corner, {}};
  }
  return &faces.lengths[static_cast<std::size_t>(way)];
}

int push_face(lua_State* lua, const Structure& structure, Body body, Way way) {
  int* const known = length_in_hand(lua, structure, body, way);
  if (known != nullptr && *known != 0) return lua_rawgeti(lua, LUA_REGISTRYINDEX, *known), 1;
  push(lua, face(structure, body, way));
  if (known == nullptr) return 1;
  lua_pushvalue(lua, -1);
  *known = luaL_ref(lua, LUA_REGISTRYINDEX);
  return 1;
}

int body_field(lua_State* lua) {
  const Body body = *as<Body>(lua, 1, kBody);
  const std::string_view key = luaL_checkstring(lua, 2);
  const Structure& structure = *bench(lua).structure;
  static const std::vector<std::string> kFields{"left",   "right", "front",  "back",      "bottom", "top",
                                                "length", "width", "height", "thickness", "shared"};
  const std::string_view way = key == "top" ? "up" : key == "bottom" ? "down" : key;
  if (const std::optional<Way> side = way_named(way); side && key != "up" && key != "down")
    return push_face(lua, structure, body, *side);
  const bool is_piece = body.kind == Body::Kind::piece;
  if (key == "shared") {
    const std::vector<LentPost>& lent = bench(lua).lent;
    lua_pushboolean(lua, is_piece && std::any_of(lent.begin(), lent.end(),
                                                 [&](const LentPost& p) { return p.taken == PieceId{body.index}; }));
    return 1;
  }
  if (key == "width")
    push(lua, is_piece ? structure[PieceId{body.index}].width : structure[PanelId{body.index}].width);
  else if (key == "thickness")
    push(lua, is_piece ? structure[PieceId{body.index}].thickness : structure[PanelId{body.index}].thickness);
  else if (key == "length" && is_piece)
    push(lua, structure[PieceId{body.index}].length);
  else if (key == "height" && !is_piece)
    push(lua, structure[PanelId{body.index}].height);
  else
    return no_field(lua, "a piece", std::string(key), kFields);
  return 1;
}

int push_name(lua_State* lua, const std::string& name) {
  lua_pushlstring(lua, name.data(), name.size());
  return 1;
}

int section_field(lua_State* lua) {
  const SectionInHand& section = *as<SectionInHand>(lua, 1, kSection);
  const std::string key = luaL_checkstring(lua, 2);
  if (key == "name") return push_name(lua, section.name);
  if (key != "width" && key != "thickness") return no_field(lua, "a section", key, {"name", "width", "thickness"});
  push(lua, key == "width" ? section.width : section.thickness);
  return 1;
}

int section_equals(lua_State* lua) {
  const auto *a = as<SectionInHand>(lua, 1, kSection), *b = as<SectionInHand>(lua, 2, kSection);
  lua_pushboolean(lua, a && b && a->id == b->id);
  return 1;
}

int profile_field(lua_State* lua) {
  const std::string key = luaL_checkstring(lua, 2);
  if (key != "name") return no_field(lua, "an end shape", key, {"name"});
  return push_name(lua, as<Profile>(lua, 1, kProfile)->name);
}

/// Fields are read and never set; the table behind them is out of reach.
void add_kind(lua_State* lua, const char* kind, lua_CFunction field, lua_CFunction gone, lua_CFunction equals) {
  luaL_newmetatable(lua, kind);
  lua_pushcfunction(lua, field);
  lua_setfield(lua, -2, "__index");
  if (gone) {
    lua_pushcfunction(lua, gone);
    lua_setfield(lua, -2, "__gc");
  }
  if (equals) {
    lua_pushcfunction(lua, equals);
    lua_setfield(lua, -2, "__eq");
  }
  lua_pushboolean(lua, 0);
  lua_setfield(lua, -2, "__metatable");
  lua_pop(lua, 1);
}

}  // namespace

void add_handles(lua_State* lua) {
  add_kind(lua, kBody, body_field, nullptr, nullptr);
  add_kind(lua, kSection, section_field, let_go<SectionInHand>, section_equals);
  add_kind(lua, kProfile, profile_field, let_go<Profile>, nullptr);
}

void push(lua_State* lua, Body body) { push_as(lua, body, kBody); }
void push(lua_State* lua, const SectionInHand& section) { push_as(lua, section, kSection); }
void push(lua_State* lua, const Profile& profile) { push_as(lua, profile, kProfile); }

const Body* as_body(lua_State* lua, int index) { return as<Body>(lua, index, kBody); }
const SectionInHand* as_section(lua_State* lua, int index) { return as<SectionInHand>(lua, index, kSection); }
const Profile* as_profile(lua_State* lua, int index) { return as<Profile>(lua, index, kProfile); }

std::string kind_at(lua_State* lua, int index) {
  if (as_body(lua, index)) return "a piece";
  if (as_section(lua, index)) return "a section";
  if (as_profile(lua, index)) return "an end shape";
  switch (lua_type(lua, index)) {
    case LUA_TNUMBER:
      return "a number";
    case LUA_TSTRING: {
      std::size_t size = 0;
      const char* bytes = lua_tolstring(lua, index, &size);
      return quoted({bytes, size});
    }
    case LUA_TBOOLEAN:
      return lua_toboolean(lua, index) ? "true" : "false";
    case LUA_TTABLE:
      return "a table";
    case LUA_TFUNCTION:
      return "a function";
    case LUA_TUSERDATA:
      return "a length";
    default:
      return "nothing";
  }
}

}  // namespace garthwright::pattern
