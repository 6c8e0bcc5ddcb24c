// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <functional>
#include <lua.hpp>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "pattern/job.h"
#include "pattern/sharing.h"
#include "structure/fixings_by_body.h"
#include "structure/joints_by_body.h"
#include "structure/profile.h"

namespace garthwright::pattern {

/// What kind of answer a choice takes.
enum class Unit { length, count, number, section, panel, profile, option, yes_no };

/// A choice as the pattern declares it. `default` may be a value, the name of a part the yard has a usual section for
/// (role), or a function of the choices above it.
struct ChoiceSpec {
  std::string name;
  Unit unit = Unit::length;
  std::string group, help;
  double least = 0, most = 0;  ///< of lengths (mm), counts and numbers
  double step = 0;             ///< of them, where the choice is open; 0: not said
  std::vector<std::string> options;
  std::string role;          ///< the yard's usual item for this part
  std::string default_text;  ///< a default that is a plain value, as read; lengths as a number of mm
  bool worked_out = false;   ///< the default is a function of other choices
  bool optional = false;     ///< may stay open: the pattern sees nil
};

/// A pattern file that has been read: its table lies on top of the Lua stack.
struct PatternSpec {
  std::string name, title, help;
  std::vector<ChoiceSpec> choices;
};

/// Reads the table at `index`; raises the pattern's error for what is missing or wrong.
PatternSpec read_pattern(lua_State* lua, int index);

/// The faces of a straight timber that the pattern has read, as references to the lengths that Lua holds: loops read
/// the same ones again and again. Good while the timber lies where it lay, as long as it was.
struct FacesInHand {
  Frame frame;
  Vec3 size, corner;
  std::array<int, 6> lengths{};  ///< by way; 0: not read yet
};

/// What the verbs and choices work on while a pattern runs.
struct Bench {
  const Shelves* shelves = nullptr;  ///< where `shared` finds what patterns have in common
  const Job* job = nullptr;
  const Order* order = nullptr;
  Structure* structure = nullptr;
  Diagnostics remarks;
  std::function<Traced(double x, double y)> ground;  ///< at a place of the structure; none where it is level
  bool asked_ground = false;                         ///< the pattern follows the ground by itself
  std::vector<LentPost> lent{};                      ///< by the structures it shares posts with
  std::vector<RaisedPost> raised{};                  ///< for the structures that share its posts
  std::set<std::string> read{};                      ///< choices that the pattern has looked at
  std::vector<bool> fixings_used{};                  ///< with Order::fixings: some joint was fixed by it
  FixingsByBody fixings_set{};                       ///< of its structure, as the pattern sets them
  JointsByBody joints_made{};                        ///< of its structure, as the pattern makes them
  std::vector<FacesInHand> faces{};                  ///< by piece

  /// Where the job gave a choice, else the structure's own place.
  Place place_of(const std::string& choice) const;
  /// The same for a length that is such a choice.
  Place place_of(const Traced& length) const;
};
Bench& bench(lua_State* lua);

/// Leaves a table on the stack: choice name → value as the pattern sees it; what is read of it is noted. Given values
/// are checked against the pattern's ranges and kinds; what was not given takes its default. Raises a diagnostic at the
/// job's line.
void push_choices(lua_State* lua, int pattern_index, const PatternSpec& spec);

/// What the list of patterns says of a choice. The defaults are those in the yard, where there is one.
ChoiceInfo describe(const ChoiceSpec& spec, const timber::Yard* yard, LengthStyle style);

/// The number of a section in the structure, added when first used; raises "unknown-section" at `where`.
SectionId use_section(lua_State* lua, const std::string& name, const Place& where);

}  // namespace garthwright::pattern
