// SPDX-License-Identifier: Apache-2.0
#include "pattern/verbs.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "base/near.h"
#include "pattern/choices.h"
#include "pattern/lengths.h"
#include "structure/joinery.h"
#include "structure/touch.h"

namespace garthwright::pattern {
namespace {

constexpr const char* kBodyKind = "garthwright.body";

// ---- handles --------------------------------------------------------------------------------------------------------

void push_body(lua_State* lua, Body body) {
  *static_cast<Body*>(lua_newuserdatauv(lua, sizeof(Body), 0)) = body;
  luaL_setmetatable(lua, kBodyKind);
}

Body to_body(lua_State* lua, int index, const std::string& what) {
  const auto* body = static_cast<const Body*>(luaL_testudata(lua, index, kBodyKind));
  if (!body) luaL_error(lua, "%s should be a piece or a panel, not %s", what.c_str(), luaL_typename(lua, index));
  return *body;
}

PieceId to_piece(lua_State* lua, int index, const std::string& what) {
  const Body body = to_body(lua, index, what);
  if (body.kind != Body::Kind::piece) luaL_error(lua, "%s should be a timber", what.c_str());
  return {body.index};
}

std::vector<Body> to_bodies(lua_State* lua, int index, const std::string& what) {
  if (luaL_testudata(lua, index, kBodyKind)) return {to_body(lua, index, what)};
  if (!lua_istable(lua, index)) luaL_error(lua, "%s should be a list of pieces", what.c_str());
  std::vector<Body> bodies;
  const int list = lua_absindex(lua, index);
  for (lua_Integer i = 1; lua_rawgeti(lua, list, i) != LUA_TNIL; ++i) {
    bodies.push_back(to_body(lua, -1, what));
    lua_pop(lua, 1);
  }
  lua_pop(lua, 1);
  return bodies;
}

/// piece.left … piece.top, piece.length, .width, .thickness
int body_field(lua_State* lua) {
  const Body body = to_body(lua, 1, "this");
  const std::string key = luaL_checkstring(lua, 2);
  const Structure& structure = *bench(lua).structure;
  static const std::vector<std::string> kFields{"left", "right",  "front", "back",   "bottom",
                                                "top",  "length", "width", "height", "thickness"};
  const std::string way = key == "top" ? "up" : key == "bottom" ? "down" : key;
  if (const std::optional<Way> side = way_named(way); side && key != "up" && key != "down") {
    push(lua, face(structure, body, *side));
    return 1;
  }
  const bool is_piece = body.kind == Body::Kind::piece;
  if (key == "width")
    push(lua, is_piece ? structure[PieceId{body.index}].width : structure[PanelId{body.index}].width);
  else if (key == "thickness")
    push(lua, is_piece ? structure[PieceId{body.index}].thickness : structure[PanelId{body.index}].thickness);
  else if (key == "length" && is_piece)
    push(lua, structure[PieceId{body.index}].length);
  else if (key == "height" && !is_piece)
    push(lua, structure[PanelId{body.index}].height);
  else
    luaL_error(lua, "a piece has no \"%s\"; %s", key.c_str(), suggest(key, kFields).c_str());
  return 1;
}

// ---- arguments ------------------------------------------------------------------------------------------------------

/// The named arguments of a verb: a table at `index`.
class Args {
 public:
  Args(lua_State* lua, const char* verb, int index, std::vector<std::string> known)
      : lua_(lua), verb_(verb), index_(lua_absindex(lua, index)) {
    if (!lua_istable(lua, index_)) luaL_error(lua, "%s takes a table of named values", verb);
    lua_pushnil(lua);
    while (lua_next(lua, index_) != 0) {
      lua_pop(lua, 1);
      const std::string key = lua_type(lua, -1) == LUA_TSTRING ? lua_tostring(lua, -1) : "a number";
      if (std::find(known.begin(), known.end(), key) == known.end())
        luaL_error(lua, "%s has no \"%s\"; %s", verb, key.c_str(), suggest(key, known).c_str());
    }
  }

  bool has(const char* key) const {
    const bool there = lua_getfield(lua_, index_, key) != LUA_TNIL;
    lua_pop(lua_, 1);
    return there;
  }
  std::string text(const char* key, const char* otherwise = nullptr) const {
    lua_getfield(lua_, index_, key);
    if (lua_isnil(lua_, -1) && otherwise) return lua_pop(lua_, 1), otherwise;
    if (lua_type(lua_, -1) != LUA_TSTRING) luaL_error(lua_, "%s needs %s, a text", verb_, key);
    std::string value = lua_tostring(lua_, -1);
    lua_pop(lua_, 1);
    return value;
  }
  /// One text or a list of them.
  std::vector<std::string> texts(const char* key, const char* otherwise) const {
    lua_getfield(lua_, index_, key);
    std::vector<std::string> values;
    if (lua_istable(lua_, -1)) {
      for (lua_Integer i = 1; lua_rawgeti(lua_, -1, i) == LUA_TSTRING; ++i) {
        values.emplace_back(lua_tostring(lua_, -1));
        lua_pop(lua_, 1);
      }
      lua_pop(lua_, 1);
    }
    lua_pop(lua_, 1);
    return values.empty() ? std::vector<std::string>{text(key, otherwise)} : values;
  }
  Traced length(const char* key) const {
    lua_getfield(lua_, index_, key);
    Traced value = to_length(lua_, -1, fmt::format("{} of {}", key, verb_).c_str());
    lua_pop(lua_, 1);
    return value;
  }
  Traced length(const char* key, Traced otherwise) const { return has(key) ? length(key) : otherwise; }
  /// A list of lengths; none when it is left out.
  std::vector<double> lengths(const char* key) const {
    std::vector<double> values;
    if (!has(key)) return values;
    lua_getfield(lua_, index_, key);
    if (!lua_istable(lua_, -1)) luaL_error(lua_, "%s of %s should be a list of lengths", key, verb_);
    const lua_Integer count = luaL_len(lua_, -1);
    for (lua_Integer i = 1; i <= count; ++i) {
      lua_rawgeti(lua_, -1, i);
      values.push_back(to_length(lua_, -1, fmt::format("{} of {}", key, verb_).c_str()).value());
      lua_pop(lua_, 1);
    }
    lua_pop(lua_, 1);
    return values;
  }
  double number(const char* key, double otherwise) const { return has(key) ? length(key).value() : otherwise; }
  bool flag(const char* key) const {
    lua_getfield(lua_, index_, key);
    const bool value = lua_toboolean(lua_, -1);
    lua_pop(lua_, 1);
    return value;
  }
  Way way(const char* key, std::optional<Way> otherwise = {}) const {
    if (!has(key) && otherwise) return *otherwise;
    const std::string word = text(key);
    const std::optional<Way> found = way_named(word);
    if (!found)
      luaL_error(lua_, "%s of %s is \"%s\"; ways are right, left, back, front, up, down", key, verb_, word.c_str());
    return *found;
  }
  Body one(const char* key) const {
    lua_getfield(lua_, index_, key);
    const Body value = to_body(lua_, -1, fmt::format("{} of {}", key, verb_));
    lua_pop(lua_, 1);
    return value;
  }
  std::vector<Body> many(const char* key) const {
    lua_getfield(lua_, index_, key);
    std::vector<Body> value = to_bodies(lua_, -1, fmt::format("{} of {}", key, verb_));
    lua_pop(lua_, 1);
    return value;
  }
  /// at = { x = …, y = …, z = … }; what is not given is 0.
  std::array<Traced, 3> low() const {
    std::array<Traced, 3> at;
    if (!has("at")) return at;
    lua_getfield(lua_, index_, "at");
    const Args place(lua_, "at", -1, {"x", "y", "z"});
    at = {place.length("x", 0), place.length("y", 0), place.length("z", 0)};
    lua_pop(lua_, 1);
    return at;
  }
  /// A section as a choice gave it, or by its trade name.
  void section(SectionId& id, Traced& width, Traced& thickness) const {
    lua_getfield(lua_, index_, "section");
    if (lua_type(lua_, -1) == LUA_TSTRING) {
      const std::string name = lua_tostring(lua_, -1);
      id = use_section(lua_, name, bench(lua_).order->where);
      const timber::Section& section = (*bench(lua_).structure)[id];
      width = Traced::named(name + " width", section.width_mm, "yard");
      thickness = Traced::named(name + " thickness", section.thickness_mm, "yard");
    } else if (lua_istable(lua_, -1)) {
      const int table = lua_gettop(lua_);
      if (lua_getfield(lua_, table, "number") != LUA_TNUMBER) luaL_error(lua_, "section of %s is not a section", verb_);
      id = {static_cast<int>(lua_tointeger(lua_, -1))};
      if (id.index < 0 || id.index >= static_cast<int>(bench(lua_).structure->sections.size()))
        luaL_error(lua_, "section of %s is not a section", verb_);
      lua_getfield(lua_, table, "width");
      width = to_length(lua_, -1, "the width of a section");
      lua_getfield(lua_, table, "thickness");
      thickness = to_length(lua_, -1, "the thickness of a section");
      lua_pop(lua_, 3);
    } else {
      luaL_error(lua_, "%s needs section, a section", verb_);
    }
    lua_pop(lua_, 1);
  }

 private:
  lua_State* lua_;
  const char* verb_;
  int index_;
};

template <class T>
T checked(lua_State* lua, Result<T> result) {
  if (!result) raise(lua, result.error());
  if constexpr (!std::is_void_v<T>) return *std::move(result);
}

Role role_named(lua_State* lua, const std::string& word) {
  for (int i = 0; i <= static_cast<int>(Role::other); ++i)
    if (name(static_cast<Role>(i)) == word) return static_cast<Role>(i);
  luaL_error(lua, "there is no role \"%s\"", word.c_str());
  return Role::other;
}

const std::vector<std::string> kPlacingKeys{"name",    "where",   "group", "role",     "section",          "runs",
                                            "wide",    "length",  "at",    "straight", "measure_in_place", "note",
                                            "between", "joins_at"};

Placing read_placing(const Args& args, lua_State* lua, const char* default_role) {
  Placing placing;
  placing.name = args.text("name");
  placing.where = args.text("where", "");
  placing.group = args.text("group", "");
  placing.role = role_named(lua, args.text("role", default_role));
  args.section(placing.section, placing.width, placing.thickness);
  placing.runs = args.way("runs");
  placing.wide = args.way("wide");
  placing.low = args.low();
  return placing;
}

int finish_piece(lua_State* lua, const Args& args, PieceId id) {
  Piece& piece = (*bench(lua).structure)[id];
  piece.straight = args.flag("straight");
  piece.measure_in_place = args.flag("measure_in_place");
  piece.note = args.text("note", "");
  piece.joins_at = args.lengths("joins_at");
  for (const double join : piece.joins_at)
    if (join <= 0 || join >= piece.length.value())
      luaL_error(lua, "%s is %f mm long and cannot be joined at %f mm", piece.name.c_str(), piece.length.value(), join);
  push_body(lua, body(id));
  return 1;
}

// ---- verbs ----------------------------------------------------------------------------------------------------------

int verb_place(lua_State* lua) {
  const Args args(lua, "place", 1, kPlacingKeys);
  Placing placing = read_placing(args, lua, "other");
  placing.length = args.length("length");
  return finish_piece(lua, args, checked(lua, place(*bench(lua).structure, placing)));
}

int verb_butt(lua_State* lua) {
  const Args args(lua, "butt", 1, kPlacingKeys);
  const std::vector<Body> between = args.many("between");
  if (between.size() != 2) luaL_error(lua, "butt goes between two pieces");
  return finish_piece(
      lua, args,
      checked(lua, butt_between(*bench(lua).structure, read_placing(args, lua, "rail"), between[0], between[1])));
}

int verb_panel(lua_State* lua) {
  const Args args(lua, "panel", 1,
                  {"name", "group", "item", "width", "height", "thickness", "mass", "solidity", "runs", "at"});
  PanelPlacing placing;
  placing.name = args.text("name");
  placing.group = args.text("group", "");
  placing.item = args.text("item", "");
  placing.width = args.length("width");
  placing.height = args.length("height");
  placing.thickness = args.length("thickness");
  placing.mass_kg = args.number("mass", 0);
  placing.solidity = args.number("solidity", 1);
  placing.runs = args.way("runs");
  placing.low = args.low();
  push_body(lua, body(checked(lua, place_panel(*bench(lua).structure, placing))));
  return 1;
}

int verb_post_in_ground(lua_State* lua) {
  const PieceId post = to_piece(lua, 1, "the post");
  const Args args(lua, "post_in_ground", 2, {"diameter", "depth", "gravel", "fill"});
  checked(lua,
          stand_in_ground(*bench(lua).structure, post,
                          {args.length("diameter").value(), args.length("depth").value(), args.number("gravel", 0)},
                          args.text("fill", "postmix")));
  return 0;
}

JointKind joint_named(lua_State* lua, const std::string& word) {
  for (int i = 0; i <= static_cast<int>(JointKind::on_wall); ++i)
    if (name(static_cast<JointKind>(i)) == word) return static_cast<JointKind>(i);
  luaL_error(lua, "there is no joint \"%s\"", word.c_str());
  return JointKind::face;
}

/// meet(a, b [, kind]): they touch, and will be fixed.
int verb_meet(lua_State* lua) {
  const JointKind kind = joint_named(lua, luaL_optstring(lua, 3, "face"));
  checked(lua,
          join(*bench(lua).structure, kind, to_body(lua, 1, "the first piece"), to_body(lua, 2, "the second piece")));
  return 0;
}

/// try_meet(a, b [, kind]): as meet, but says false where they do not touch.
int verb_try_meet(lua_State* lua) {
  const JointKind kind = joint_named(lua, luaL_optstring(lua, 3, "face"));
  const Body a = to_body(lua, 1, "the first piece"), b = to_body(lua, 2, "the second piece");
  lua_pushboolean(lua, join(*bench(lua).structure, kind, a, b).has_value());
  return 1;
}

/// longest_sold(section): the longest length of it the yard sells, less what squaring its end takes.
int verb_longest_sold(lua_State* lua) {
  luaL_checktype(lua, 1, LUA_TTABLE);
  lua_getfield(lua, 1, "number");
  const auto number = static_cast<std::size_t>(luaL_checkinteger(lua, -1));
  const Structure& structure = *bench(lua).structure;
  if (number >= structure.sections.size()) luaL_error(lua, "longest_sold takes a section");
  double longest = 0;
  for (const timber::YardLength& length : structure.sections[number].lengths)
    longest = std::max(longest, length.length_mm);
  push(lua, longest - bench(lua).job->saw.trim_mm);
  return 1;
}

/// rest(a, list, why): a touches each of them (or none, where they do not reach) and is held elsewhere.
int verb_rest(lua_State* lua) {
  Structure& structure = *bench(lua).structure;
  const std::string why = luaL_checkstring(lua, 3);
  const Body a = to_body(lua, 1, "the piece that rests");
  for (const Body b : to_bodies(lua, 2, "what it rests on")) {
    JointId id = joint_between(structure, a, b);
    if (!id) {
      const Result<JointId> joint = join(structure, JointKind::face, a, b);
      if (!joint) continue;
      id = *joint;
    }
    if (is_fixed(structure, structure[id])) continue;
    structure[id].bare = true;
    structure[id].why_bare = why;
  }
  return 0;
}

/// on_wall(piece, way, {every=, least=}): against the wall that lies that way, held by coach screws into plugs.
int verb_on_wall(lua_State* lua) {
  Structure& structure = *bench(lua).structure;
  const Body piece = to_body(lua, 1, "the ledger");
  const std::optional<Way> way = way_named(luaL_checkstring(lua, 2));
  if (!way) luaL_error(lua, "on_wall needs the way to the wall");
  const Args args(lua, "on_wall", 3, {"every", "least"});
  checked(lua, fasten_to_wall(structure, piece, *way, args.number("every", 600), args.number("least", 8),
                              bench(lua).job->yard.fixings));
  return 0;
}

int cross_by(lua_State* lua, const char* verb, double usual_share) {
  Crossing crossing{to_piece(lua, 1, "what comes in"), to_piece(lua, 2, "what stands"), Way::down, usual_share,
                    bench(lua).job->saw.fit_mm};
  if (lua_istable(lua, 3)) {
    const Args args(lua, verb, 3, {"into", "share"});
    crossing.into = args.way("into", Way::down);
    crossing.share = args.number("share", usual_share);
  }
  if (!(crossing.share >= 0 && crossing.share <= 1)) luaL_error(lua, "share of %s is from 0 to 1", verb);
  checked(lua, cross(*bench(lua).structure, crossing));
  return 0;
}
/// halve(coming, standing [, {into=, share=}])
int verb_halve(lua_State* lua) { return cross_by(lua, "halve", 0.5); }
/// notch(coming, standing [, {into=, share=}]): only the coming one is cut unless share says otherwise
int verb_notch(lua_State* lua) { return cross_by(lua, "notch", 1.0); }

int verb_brace(lua_State* lua) {
  const Args args(lua, "brace", 1,
                  {"name", "where", "group", "section", "foot", "foot_face", "head_face", "head_level", "leg",
                   "leg_foot", "leg_head", "low_across", "note"});
  Bracing bracing;
  bracing.name = args.text("name", "brace");
  bracing.where = args.text("where", "");
  bracing.group = args.text("group", "");
  args.section(bracing.section, bracing.width, bracing.thickness);
  bracing.foot = args.one("foot");
  bracing.foot_face = args.way("foot_face");
  bracing.head_face = args.way("head_face", Way::up);
  bracing.head_level = args.length("head_level");
  bracing.leg_foot = args.length(args.has("leg") ? "leg" : "leg_foot");
  bracing.leg_head = args.length(args.has("leg") ? "leg" : "leg_head");
  bracing.low_across = args.length("low_across");
  const PieceId id = checked(lua, brace(*bench(lua).structure, bracing));
  (*bench(lua).structure)[id].note = args.text("note", "");
  push_body(lua, body(id));
  return 1;
}

/// strut{…}: a brace between two parallel faces, from `foot` to `head`
int verb_strut(lua_State* lua) {
  const Args args(
      lua, "strut", 1,
      {"name", "where", "group", "section", "foot", "head", "foot_face", "along", "from", "to", "low_across"});
  Strutting strutting;
  strutting.name = args.text("name", "brace");
  strutting.where = args.text("where", "");
  strutting.group = args.text("group", "");
  args.section(strutting.section, strutting.width, strutting.thickness);
  strutting.foot = args.one("foot");
  strutting.head = args.one("head");
  strutting.foot_face = args.way("foot_face", Way::up);
  strutting.along = args.way("along");
  strutting.from = args.length("from");
  strutting.to = args.length("to");
  strutting.low_across = args.length("low_across");
  push_body(lua, body(checked(lua, strut(*bench(lua).structure, strutting))));
  return 1;
}

/// A board lying flat on the end grain of `over`, from the first to the last of them along `runs`, middled across.
int verb_cap(lua_State* lua) {
  const Args args(lua, "cap", 1, {"name", "where", "group", "section", "over", "runs", "beyond", "low_across"});
  Structure& structure = *bench(lua).structure;
  const std::vector<Body> over = args.many("over");
  if (over.empty()) luaL_error(lua, "cap lies over at least one piece");
  Placing placing;
  placing.name = args.text("name", "cap");
  placing.where = args.text("where", "");
  placing.group = args.text("group", "");
  placing.role = Role::cap;
  args.section(placing.section, placing.width, placing.thickness);
  placing.runs = args.way("runs");
  const int along = axis(placing.runs), across = 1 - along;
  if (along > 1) luaL_error(lua, "a cap lies level");
  placing.wide = static_cast<Way>(2 * across);
  const auto span = [&](int on) {
    const Way high = static_cast<Way>(2 * on);
    std::pair<Traced, Traced> reach{face(structure, over[0], opposite(high)), face(structure, over[0], high)};
    for (const Body b : over) {
      reach.first = min(reach.first, face(structure, b, opposite(high)));
      reach.second = max(reach.second, face(structure, b, high));
    }
    return reach;
  };
  const Traced beyond = args.length("beyond", 0);
  const auto [from, to] = span(along);
  const auto [near, far] = span(across);
  placing.length = to - from + 2 * beyond;
  placing.low[static_cast<std::size_t>(along)] = from - beyond;
  placing.low[static_cast<std::size_t>(across)] = 0.5 * (near + far) - 0.5 * placing.width;
  if (args.has("low_across")) placing.low[static_cast<std::size_t>(across)] = args.length("low_across");
  placing.low[2] = face(structure, over[0], Way::up);
  if (placing.width.value() + 1e-6 < far.value() - near.value())
    bench(lua).remarks.push_back({Severity::warning, "narrow-cap",
                                  fmt::format("{} is {} wide and leaves part of the {} of end grain below it open",
                                              placing.name, format_length(placing.width.value(), bench(lua).job->style),
                                              format_length(far.value() - near.value(), bench(lua).job->style)),
                                  "choose a wider section for it", bench(lua).place_of("cap")});
  const PieceId id = checked(lua, place(structure, placing));
  for (const Body b : over) checked(lua, join(structure, JointKind::cap, body(id), b));
  push_body(lua, body(id));
  return 1;
}

/// shape(piece, {ends = "both" | "start" | "finish", profile =, under =, room =}): where the shape would take more of
/// the length than `room`, the end stays square and the plan says so.
int verb_shape(lua_State* lua) {
  const PieceId piece = to_piece(lua, 1, "what is shaped");
  const Args args(lua, "shape", 2, {"ends", "profile", "under", "room"});
  lua_getfield(lua, 2, "profile");
  if (!lua_istable(lua, -1) || lua_getfield(lua, -1, "number") != LUA_TNUMBER)
    luaL_error(lua, "shape needs a profile from a choice");
  const auto number = static_cast<std::size_t>(lua_tointeger(lua, -1));
  Bench& b = bench(lua);
  if (number >= b.profiles.size()) luaL_error(lua, "shape needs a profile from a choice");
  const Profile& profile = b.profiles[number];
  const double width = (*b.structure)[piece].width.value(), reach = width - nose_height(width);
  if (profile.name != "square" && reach > args.number("room", 1e9)) {
    Diagnostic remark{
        Severity::warning, "no-room-for-shape",
        fmt::format("the ends of each {} stay square: its {} is {} long and would cut into the joint {} from the end",
                    (*b.structure)[piece].name, profile.name, format_length(reach, b.job->style),
                    format_length(args.number("room", 0), b.job->style)),
        fmt::format("give an overhang of {} or more, or choose square ends",
                    format_length(std::ceil(reach), b.job->style)),
        b.order->where};
    if (std::find(b.remarks.begin(), b.remarks.end(), remark) == b.remarks.end())
      b.remarks.push_back(std::move(remark));
    return 0;
  }
  const std::string ends = args.text("ends", "both");
  for (const End end : {End::start, End::finish})
    if (ends == "both" || (ends == "start") == (end == End::start))
      checked(lua, shape_end(*b.structure, piece, end, profile, args.way("under", Way::down)));
  return 0;
}

/// Fixings as fix and try_fix take them, by the first kind that the yard sells in a length that suits.
bool fix(lua_State* lua, const char* verb, bool nearest_will_do) {
  const Args args(lua, verb, 1, {"through", "kind", "count", "every", "least", "item"});
  static const std::vector<std::string> kKinds{"screw", "coach screw", "coach bolt", "nail", "staple"};
  Fastening fastening;
  fastening.through = args.many("through");
  fastening.count = static_cast<int>(std::clamp(args.number("count", 2), 1.0, 1000.0));
  fastening.every_mm = args.number("every", 0);
  fastening.wanted.least_diameter = args.number("least", 0);
  fastening.wanted.item = args.text("item", "");
  Bench& b = bench(lua);
  const std::vector<std::string> kinds = args.texts("kind", "screw");
  for (const bool nearest : {false, true}) {
    if (nearest && !nearest_will_do) return false;
    for (const std::string& kind : kinds) {
      const auto found = std::find(kKinds.begin(), kKinds.end(), kind);
      if (found == kKinds.end())
        luaL_error(lua, "%s has no kind \"%s\"; %s", verb, kind.c_str(), suggest(kind, kKinds).c_str());
      fastening.wanted.kind = static_cast<timber::FixingKind>(found - kKinds.begin());
      fastening.nearest_will_do = nearest;
      const Result<Diagnostics> fixed = fasten(*b.structure, fastening, b.job->yard.fixings);
      if (fixed) {
        for (Diagnostic remark : *fixed) {
          remark.where = b.order->where;
          if (std::find(b.remarks.begin(), b.remarks.end(), remark) == b.remarks.end())
            b.remarks.push_back(std::move(remark));
        }
        return true;
      }
      if (fixed.error().front().code != "no-fixing" || (nearest && kind == kinds.back())) raise(lua, fixed.error());
    }
  }
  return false;
}

/// fix{through=, kind=, count=, every=, least=, item=}
int verb_fix(lua_State* lua) {
  fix(lua, "fix", true);
  return 0;
}
/// try_fix{…}: as fix, but says false where no fixing sold suits.
int verb_try_fix(lua_State* lua) {
  lua_pushboolean(lua, fix(lua, "try_fix", false));
  return 1;
}

/// spread{count=, from=, to=, width=}: the near faces of `count` timbers of that width, the first one's at `from`, the
/// last one's far face at `to`, the rest at equal distances; a single one goes in the middle.
int verb_spread(lua_State* lua) {
  const Args args(lua, "spread", 1, {"count", "from", "to", "width"});
  const double wanted = args.number("count", 0);
  if (!(wanted >= 1 && wanted <= 10000) || wanted != std::floor(wanted)) luaL_error(lua, "spread needs a count from 1");
  const int count = static_cast<int>(wanted);
  const Traced from = args.length("from"), to = args.length("to"), width = args.length("width");
  lua_createtable(lua, count, 0);
  for (int i = 0; i < count; ++i) {
    const double part = count == 1 ? 0.5 : static_cast<double>(i) / (count - 1);
    push(lua, from + part * (to - from - width));
    lua_rawseti(lua, -2, i + 1);
  }
  return 1;
}

/// mirror(list, {across=, at=}) → list of copies in the same order
int verb_mirror(lua_State* lua) {
  const std::vector<Body> bodies = to_bodies(lua, 1, "what is mirrored");
  const Args args(lua, "mirror", 2, {"across", "at"});
  const std::vector<Body> copies =
      checked(lua, mirror(*bench(lua).structure, bodies, args.way("across"), args.length("at")));
  lua_createtable(lua, static_cast<int>(copies.size()), 0);
  for (std::size_t i = 0; i < copies.size(); ++i) {
    push_body(lua, copies[i]);
    lua_rawseti(lua, -2, static_cast<lua_Integer>(i) + 1);
  }
  return 1;
}

/// assembly(name [, {flat = true}]): all pieces of that group are made as one
int verb_assembly(lua_State* lua) {
  const std::string group = luaL_checkstring(lua, 1);
  Assembly assembly{group, {}, false};
  if (lua_istable(lua, 2)) assembly.flat = Args(lua, "assembly", 2, {"flat"}).flag("flat");
  Structure& structure = *bench(lua).structure;
  for (std::size_t i = 0; i < structure.pieces.size(); ++i)
    if (structure.pieces[i].group == group) assembly.bodies.push_back(body(PieceId{static_cast<int>(i)}));
  for (std::size_t i = 0; i < structure.panels.size(); ++i)
    if (structure.panels[i].group == group) assembly.bodies.push_back(body(PanelId{static_cast<int>(i)}));
  if (assembly.bodies.empty()) luaL_error(lua, "no piece is in the group \"%s\"", group.c_str());
  structure.assemblies.push_back(std::move(assembly));
  return 0;
}

/// refuse(choice, what, cure): the choices cannot be built; points at the job's line
int verb_refuse(lua_State* lua) {
  const std::string choice = luaL_checkstring(lua, 1), what = luaL_checkstring(lua, 2),
                    cure = luaL_optstring(lua, 3, "");
  raise(lua, {Severity::error, "cannot-build", what, cure, bench(lua).place_of(choice)});
}

/// remark(choice, what, cure): worth knowing; the plan is made all the same
int verb_remark(lua_State* lua) {
  const std::string choice = luaL_checkstring(lua, 1), what = luaL_checkstring(lua, 2),
                    cure = luaL_optstring(lua, 3, "");
  bench(lua).remarks.push_back({Severity::warning, "pattern-remark", what, cure, bench(lua).place_of(choice)});
  return 0;
}

/// print_length(length): as the job prints lengths
int verb_print_length(lua_State* lua) {
  const std::string text = format_length(to_length(lua, 1, "the length").value(), bench(lua).job->style);
  lua_pushlstring(lua, text.data(), text.size());
  return 1;
}

}  // namespace

void add_verbs(LuaBox& box) {
  lua_State* lua = box.state();
  luaL_newmetatable(lua, kBodyKind);
  lua_pushcfunction(lua, body_field);
  lua_setfield(lua, -2, "__index");
  lua_pushboolean(lua, 0);
  lua_setfield(lua, -2, "__metatable");
  lua_pop(lua, 1);
  static constexpr luaL_Reg kVerbs[] = {{"place", verb_place},
                                        {"butt", verb_butt},
                                        {"panel", verb_panel},
                                        {"post_in_ground", verb_post_in_ground},
                                        {"meet", verb_meet},
                                        {"rest", verb_rest},
                                        {"try_meet", verb_try_meet},
                                        {"longest_sold", verb_longest_sold},
                                        {"halve", verb_halve},
                                        {"notch", verb_notch},
                                        {"brace", verb_brace},
                                        {"strut", verb_strut},
                                        {"cap", verb_cap},
                                        {"shape", verb_shape},
                                        {"fix", verb_fix},
                                        {"try_fix", verb_try_fix},
                                        {"spread", verb_spread},
                                        {"mirror", verb_mirror},
                                        {"assembly", verb_assembly},
                                        {"refuse", verb_refuse},
                                        {"remark", verb_remark},
                                        {"on_wall", verb_on_wall},
                                        {"print_length", verb_print_length}};
  for (const luaL_Reg& verb : kVerbs) box.add(verb.name, verb.func);
}

}  // namespace garthwright::pattern
