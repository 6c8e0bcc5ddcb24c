// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <variant>
#include <vector>

#include "structure/structure.h"

/// An order of work. Its truth is in the steps: each says one thing that is done, and a checker can follow them.
/// Titles, words, counts and times are read off the steps. World coordinates of the finished structure throughout, mm,
/// kg.

namespace garthwright::sequence {

/// Where work is done: on the site where it will stand, or on trestles, where a sub-assembly is made (from 1).
using Workplace = int;
inline constexpr Workplace kSite = 0;

/// A piece is marked out, cut and machined; every cut, notch and hole of it is sealed.
struct Prepare {
  PieceId piece;
};
/// A hole is dug, its gravel rammed.
struct Dig {
  int footing = 0;
};
/// What is made at a workplace is laid, or turned over, with that side of the finished whole underneath.
struct Turn {
  Workplace at = 1;
  Vec3 down;
};
/// One loose body, or the whole of what was made on trestles (`from`), goes straight in along `way` (unit).
struct Bring {
  std::vector<Body> bodies;
  Workplace from = -1;  ///< -1: a loose body
  Workplace to = kSite;
  Vec3 way;
  double kg = 0;     ///< what is lifted
  double share = 1;  ///< of it that hangs on the people at once: half when it goes up one end at a time
  double hands_mm = 0;
  int people = 1;
};
struct Drive {
  int fixing = 0;
  std::string tool;
};
/// A temporary batten across a frame that would rack; it comes off when what holds the frame is there.
struct Brace {
  Workplace at = 1;
};
struct Unbrace {
  Workplace at = 1;
};
/// Struts under something standing in its holes, or a temporary rest under something higher; and away with them.
struct Prop {
  std::vector<Body> bodies;
};
struct Unprop {
  std::vector<Body> bodies;
};
struct Plumb {
  std::vector<Body> bodies;
};
/// A hole is filled round its post.
struct Fill {
  int footing = 0;
};
struct Wait {
  double hours = 0;
};
/// The heads of posts that were left long are cut off at one level.
struct CutHeads {
  std::vector<PieceId> posts;
};
using Step = std::variant<Prepare, Dig, Turn, Bring, Drive, Brace, Unbrace, Prop, Unprop, Plumb, Fill, Wait, CutHeads>;

struct FixingCount {
  std::string item, tool;
  int count = 0;
  double pilot = 0, clearance = 0;  ///< mm
};

/// Something that goes in along an arrow, for pictures.
struct Motion {
  std::vector<Body> bodies;
  Workplace at = kSite;
  Vec3 way;
};

struct Stage {
  int number = 0;
  std::string title;
  std::vector<Step> steps;

  // Read off the steps by describe().
  std::vector<std::string> adds;  ///< marks of what is added, each once; panels by name
  std::vector<FixingCount> fixings;
  std::vector<std::string> actions;
  int people = 1;
  double lift_kg = 0;  ///< the heaviest single lift
  double wait_h = 0;
  int turns = 0;
  double minutes = 0;
  std::vector<Motion> motions;
};

/// All steps in order, for whoever only wants to follow them.
std::vector<const Step*> all_steps(const std::vector<Stage>& stages);

}  // namespace garthwright::sequence
