// SPDX-License-Identifier: Apache-2.0
//
// Verbs on what stands already: shaped ends, mirror images, assemblies.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "pattern/verbs.h"
#include "structure/edging.h"
#include "structure/joinery.h"
#include "structure/laying.h"
#include "structure/tapering.h"

namespace garthwright::pattern {
namespace {

/// Where the shape would take more of the length than `room`, the end stays square and the plan says so.
bool has_room(const Call& call, PieceId piece, const Profile& profile) {
  if (profile.name == "square" || !call.has("room")) return true;
  const Structure& structure = call.structure();
  const double width = structure[piece].width.value(), reach = width - nose_height(width), room = call.mm("room", 0);
  if (reach <= room) return true;
  Bench& bench = call.bench_();
  Diagnostic remark{
      Severity::warning, "no-room-for-shape",
      fmt::format("the ends of each {} stay square: its {} is {} long and would cut into the joint {} from the end",
                  structure[piece].name, profile.name, format_length(reach, bench.job->style),
                  format_length(room, bench.job->style)),
      fmt::format("give an overhang of {} or more, or choose square ends",
                  format_length(std::ceil(reach), bench.job->style)),
      bench.order->where};
  if (std::find(bench.remarks.begin(), bench.remarks.end(), remark) == bench.remarks.end()) {
    call.box().spend(Good::parts, 1);
    bench.remarks.push_back(std::move(remark));
  }
  return false;
}

int shape(Call& call) {
  const PieceId piece = call.piece_at(1, "what is shaped");
  const Profile& profile = call.profile("profile");
  const int ends = call.word("ends", call.text("ends", "both"), {"start", "finish", "both"});
  const Way under = call.way("under", Way::down);
  if (!has_room(call, piece, profile)) return 0;
  for (const End end : {End::start, End::finish}) {
    if (ends != 2 && ends != static_cast<int>(end)) continue;
    call.box().spend(Good::parts, 1);
    call.done(shape_end(call.structure(), piece, end, profile, under));
  }
  return 0;
}

/// bevel(piece, {ends=, looks = {x=, y=, z=}}): an end cut on a slope, its long point where the end was.
int bevel(Call& call) {
  const PieceId piece = call.piece_at(1, "what is bevelled");
  const int ends = call.word("ends", call.text("ends", "finish"), {"start", "finish", "both"});
  const std::array<Traced, 3> given = call.place("looks");
  const Vec3 looks{given[0].value(), given[1].value(), given[2].value()};
  if (!(norm(looks) > 0)) call.wrong("looks of bevel has no direction", "give looks = { x = …, y = …, z = … }");
  for (const End end : {End::start, End::finish}) {
    if (ends != 2 && ends != static_cast<int>(end)) continue;
    call.box().spend(Good::parts, 1);
    // Both ends of one timber look opposite ways: the same saw setting, turned over.
    call.done(bevel_end(call.structure(), piece, end, ends == 2 && end == End::start ? -looks : looks));
  }
  return 0;
}

/// hollow(piece, {face=, off=, deep=}): an arc is sawn out of an edge.
int hollow_one(Call& call) {
  const PieceId piece = call.piece_at(1, "what is hollowed");
  call.box().spend(Good::parts, 1);
  const Hollowing hollowing{piece, call.way("face"), call.length("off"), call.length("deep"), call.bench_().job->style};
  if (const Result<void> done = hollow(call.structure(), hollowing); !done) {
    // Told at the job's line: most often the depth or the hold is a choice.
    Diagnostic told = done.error().front();
    told.where = call.bench_().place_of(told.code == "deep-hollow" ? hollowing.deep : hollowing.off);
    told.code = "cannot-build";
    raise(call.lua(), std::move(told));
  }
  return 0;
}

/// taper(piece, {ends=, face=, along=, off=}): a long face slopes to the end.
int taper_one(Call& call) {
  const PieceId piece = call.piece_at(1, "what is tapered");
  const int ends = call.word("ends", call.text("ends", "finish"), {"start", "finish", "both"});
  Tapering tapering{piece, End::start, call.way("face"), call.length("along").value(), call.length("off").value()};
  for (const End end : {End::start, End::finish}) {
    if (ends != 2 && ends != static_cast<int>(end)) continue;
    call.box().spend(Good::parts, 1);
    tapering.end = end;
    call.done(taper(call.structure(), tapering));
  }
  return 0;
}

/// What is mirrored: pieces, and what each is called in the table they came in; no names for a list.
struct Mirrored {
  std::vector<Body> bodies;  ///< each once
  std::vector<std::pair<std::string, std::size_t>> names;
};
Mirrored mirrored_by(const Call& call) {
  Mirrored given;
  lua_State* lua = call.lua();
  const bool named = lua_istable(lua, 1) && lua_rawlen(lua, 1) == 0;
  if (!named) {
    given.bodies = call.bodies_at(1, "what is mirrored");
    return given;
  }
  std::vector<std::string> keys;
  for (lua_pushnil(lua); lua_next(lua, 1) != 0; lua_pop(lua, 1)) {
    if (lua_type(lua, -2) != LUA_TSTRING) call.wrong("mirror takes a list of pieces, or pieces under names");
    keys.emplace_back(lua_tostring(lua, -2));
  }
  call.box().spend(Good::steps, static_cast<std::int64_t>(keys.size()) * kStepsOfAThing);
  std::sort(keys.begin(), keys.end());
  for (const std::string& key : keys) {
    lua_getfield(lua, 1, key.c_str());
    const Body* one = as_body(lua, -1);
    if (!one) call.wrong(fmt::format("{} of what is mirrored is {}", key, kind_at(lua, -1)), "give a piece or a panel");
    const auto known = std::find(given.bodies.begin(), given.bodies.end(), *one);
    given.names.emplace_back(key, static_cast<std::size_t>(known - given.bodies.begin()));
    if (known == given.bodies.end()) given.bodies.push_back(*one);
    lua_pop(lua, 1);
  }
  return given;
}

/// mirror(list, {across=, at=}): copies in the same order, or under the same names.
int mirror_all(Call& call) {
  const Mirrored given = mirrored_by(call);
  const std::vector<Body>& bodies = given.bodies;
  std::int64_t cuts = 0;
  for (const Body b : bodies)
    if (b.kind == Body::Kind::piece)
      cuts += static_cast<std::int64_t>(call.structure()[PieceId{b.index}].machining.size());
  call.box().spend(Good::parts, cuts);
  const std::vector<Body> copies = call.done(mirror(call.structure(), bodies, call.way("across"), call.length("at")));
  if (given.names.empty()) return call.give(copies);
  lua_createtable(call.lua(), 0, static_cast<int>(given.names.size()));
  for (const auto& [name, at] : given.names) {
    push(call.lua(), copies[at]);
    lua_setfield(call.lua(), -2, name.c_str());
  }
  return 1;
}

/// assembly(group [, {flat = true}]): all pieces of that group are made as one.
int assembly(Call& call) {
  const std::string group = call.text_at(1, "the group");
  Assembly made{group, {}, call.flag("flat")};
  Structure& structure = call.structure();
  for (std::size_t i = 0; i < structure.pieces.size(); ++i)
    if (structure.pieces[i].group == group) made.bodies.push_back(body(PieceId{static_cast<int>(i)}));
  for (std::size_t i = 0; i < structure.panels.size(); ++i)
    if (structure.panels[i].group == group) made.bodies.push_back(body(PanelId{static_cast<int>(i)}));
  if (made.bodies.empty()) call.wrong(fmt::format("no piece is in the group \"{}\"", group));
  call.box().spend(Good::parts, static_cast<std::int64_t>(made.bodies.size()));
  structure.assemblies.push_back(std::move(made));
  return 0;
}

const std::vector<Verb> kVerbs{
    {"shape",
     shape,
     2,
     2,
     2,
     {{"ends", Takes::text}, {"profile", Takes::profile}, {"under", Takes::way}, {"room", Takes::length}}},
    {"bevel", bevel, 2, 2, 2, {{"ends", Takes::text}, {"looks", Takes::place}}},
    {"taper",
     taper_one,
     2,
     2,
     2,
     {{"ends", Takes::text}, {"face", Takes::way}, {"along", Takes::length}, {"off", Takes::length}}},
    {"hollow", hollow_one, 2, 2, 2, {{"face", Takes::way}, {"off", Takes::length}, {"deep", Takes::length}}},
    {"mirror", mirror_all, 2, 2, 2, {{"across", Takes::way}, {"at", Takes::length}}},
    {"assembly", assembly, 1, 2, 2, {{"flat", Takes::yes_no}}}};

}  // namespace

std::span<const Verb> shaping_verbs() { return kVerbs; }

}  // namespace garthwright::pattern
