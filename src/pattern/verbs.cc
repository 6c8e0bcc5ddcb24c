// SPDX-License-Identifier: Apache-2.0
#include "pattern/verbs.h"

#include <fmt/format.h>

#include <exception>

namespace garthwright::pattern {
namespace {

/// What stands in a structure, to see what a verb added.
struct Contents {
  std::int64_t bodies = 0, parts = 0;
};

Contents contents(const Structure& s) {
  return {static_cast<std::int64_t>(s.pieces.size() + s.panels.size()),
          static_cast<std::int64_t>(s.joints.size() + s.fixings.size() + s.footings.size() + s.feet.size() +
                                    s.assemblies.size() + s.items.size())};
}

/// Every verb goes through here: what it is given is checked, and what it makes is counted.
int call_verb(lua_State* lua) {
  const Verb& verb = *static_cast<const Verb*>(lua_touserdata(lua, lua_upvalueindex(1)));
  LuaBox& box = LuaBox::of(lua);
  box.spend(Good::steps, kStepsOfAVerb);
  box.look_at_clock();
  const Structure& structure = *bench(lua).structure;
  const Contents before = contents(structure);
  Call call(lua, verb);
  int given = 0;
  try {
    given = verb.run(call);
  } catch (const std::exception& fault) {  // a sum the kernels below will not do: the pattern asked for it
    call.wrong(fmt::format("{} cannot do this: {}", verb.name, fault.what()));
  }
  const Contents after = contents(structure);
  box.spend(Good::bodies, after.bodies - before.bodies);
  box.spend(Good::parts, after.parts - before.parts);
  return given;
}

}  // namespace

std::vector<const Verb*> all_verbs() {
  std::vector<const Verb*> all;
  for (const std::span<const Verb> kind : {placing_verbs(), joining_verbs(), fixing_verbs(), shaping_verbs(),
                                           swinging_verbs(), corner_verbs(), telling_verbs(), common_verbs()})
    for (const Verb& verb : kind) all.push_back(&verb);
  return all;
}

void add_verbs(LuaBox& box) {
  lua_State* lua = box.state();
  add_handles(lua);
  for (const Verb* verb : all_verbs()) {
    lua_pushlightuserdata(lua, const_cast<Verb*>(verb));
    lua_pushcclosure(lua, call_verb, 1);
    lua_setglobal(lua, verb->name);
  }
}

}  // namespace garthwright::pattern
