// SPDX-License-Identifier: Apache-2.0
//
// One line of a strength or ground report: what was asked of a part and what it can give. Everything about it is typed,
// so that a reader asks it and takes no text apart; its words are made from these facts, by check_words.h alone.
#pragma once

#include <compare>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "structure/structure.h"

namespace garthwright {

using PartId = Id<Structure>;  ///< index among the structures of a plan

enum class Verdict { ok, attention, fails };

/// What a check asks. Of a timber: bending … moves; of a whole part: sway … unsolved; of its holes: soil … frost.
enum class CheckKind {
  bending,
  shear,
  bearing,    ///< pressure across the grain, where one timber stands on another
  notch,      ///< splitting at a notch
  joint,      ///< strength of a joint's fixings, each by itself
  row,        ///< of them one behind another along the grain
  splitting,  ///< of the timber by what they press across its grain
  spacing,    ///< their distances from ends, edges and each other
  sag,
  moves,  ///< a notch loosens or binds as its timber dries
  grade,  ///< timber of a grade without known strength
  sway,
  buckling,
  racking,
  racking_across,
  corrosion,  ///< of the fixings
  unsolved,   ///< the frame stands on nothing, or moves without resistance: nothing was checked
  soil,       ///< ground in which no post may be sized by presumed values
  sideways,
  loose_top,
  uplift,
  pressure,  ///< on the ground under a post
  frost,
  hole_width,   ///< concrete all round the post
  holes_apart,  ///< far enough to count by themselves
  hole_depth,   ///< as far as a spade goes
  ground_line,  ///< years of a timber in the ground
  wet_heads,    ///< end grain that looks up
  wet_notches,  ///< notches that open to the sky
  wet_laps,     ///< timbers that lie flat on each other
  shoe,         ///< a metal shoe under a post: pressed, pulled, pushed sideways
  tips,         ///< what stands loose, in the wind
  slides,
  sinks  ///< what it presses on the ground or the floor with
};
inline constexpr CheckKind kLastCheckKind = CheckKind::sinks;
std::string_view name(CheckKind kind);

/// What the subjects of a kind are.
enum class CheckScope { pieces, grade, part, holes };
CheckScope scope_of(CheckKind kind);

/// The garden as it is while a load acts on it.
struct State {
  enum class Kind { any, bare, overgrown, winter, person };
  enum class Person { leans, hangs_from_middle, hangs_from_end, beside, sits, stands, leans_on_guard, rides };
  Kind kind = Kind::any;
  int year = 0;                   ///< overgrown: of growth; 0 when grown
  Person person = Person::leans;  ///< person: what he does
  Body on = kGround;              ///< person: the piece he does it to
  bool off_the_house = false;     ///< winter: with the snow that slides and drifts off a house
  bool operator==(const State&) const = default;

  /// One of the years before a plant is grown, looked at for information.
  bool growing() const { return kind == Kind::overgrown && year > 0; }
  bool grown() const { return kind == Kind::overgrown && year == 0; }
};
inline constexpr State kBare{State::Kind::bare, 0, State::Person::leans, kGround};
inline constexpr State kWinter{State::Kind::winter, 0, State::Person::leans, kGround};
constexpr State overgrown(int year = 0) { return {State::Kind::overgrown, year, State::Person::leans, kGround}; }
std::string_view name(State::Kind kind);
std::string_view name(State::Person person);

/// A state with one combination of its loads, which has its name and clause from a code's table (texts that stay).
struct Situation {
  State state;
  std::string_view combination, clause;
  bool operator==(const Situation&) const = default;
};

/// How sure a check is: a published formula in its own field; one carried over to a field it was not made for; a rule
/// or limit of our own.
enum class Worth { clause, analogy, our_own };
std::string_view name(Worth worth);
/// Of a kind, where nothing else is said.
Worth worth_of(CheckKind kind);

struct Check {
  CheckKind kind = CheckKind::bending;
  PartId part;                 ///< the structure it is about
  std::vector<Body> subjects;  ///< where it is worst: the piece; both of a joint or seat; the post of a hole
  JointId joint;               ///< of kinds joint, row, splitting and spacing
  std::optional<Vec3> place;   ///< where it is worst, in the part's coordinates
  Situation when;              ///< that governs; without a state where no load does
  double demand = 0, capacity = 0;
  std::string unit;  ///< "N/mm²", "kN", "mm", "1"
  double utilisation = 0;
  Verdict verdict = Verdict::ok;
  Worth worth = Worth::clause;
  std::string source;  ///< clauses
  std::string plain;   ///< one line for a person, without `when`
};

inline const char* name(Verdict v) { return v == Verdict::ok ? "ok" : v == Verdict::attention ? "attention" : "fails"; }

/// Over 1 fails, as does what could not be computed; over 0.9 wants attention.
inline Verdict verdict_of(double utilisation) {
  return !(utilisation <= 1) ? Verdict::fails : utilisation > 0.9 ? Verdict::attention : Verdict::ok;
}

/// A row to be filled in.
inline Check new_check(CheckKind kind, std::vector<Body> subjects = {}) {
  Check c;
  c.kind = kind;
  c.worth = worth_of(kind);
  c.subjects = std::move(subjects);
  return c;
}

/// Which row of its part's report a check is: rows are the worst of all pieces (or joints) of one mark.
struct CheckKey {
  CheckKind kind = CheckKind::bending;
  std::vector<std::string> of;  ///< marks; the grade; empty for a whole part and its holes
  auto operator<=>(const CheckKey&) const = default;
};
CheckKey key_of(const Check& check, const Structure& part);

}  // namespace garthwright
