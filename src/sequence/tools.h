// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string_view>
#include <vector>

#include "structure/structure.h"

/// The tools of a builder, and the room they take: facts, shared by whoever plans and whoever checks.

namespace garthwright::sequence {

/// A tool at the head of a fixing (and at the nut of a bolt): a thin bit or socket first, then the hand or the drill.
struct Tool {
  std::string_view name;
  double bit_radius, bit_from, bit_to;  ///< mm, along the way out of the head
  double body_radius, body_to;
  bool cramped;
};

/// What hangs so high over the ground, mm, is raised to its place from below by whoever stands there (our own).
inline constexpr double kOverhead = 1200;

/// Where what stands low is taken hold of when it is carried whole, mm: at its rim, no higher than the knuckles.
inline constexpr double kKnuckles = 750;

/// Tools for a fixing, the handiest first.
std::vector<const Tool*> tools_for(timber::FixingKind kind, bool no_power);
/// Tools at a bolt's nut.
std::vector<const Tool*> nut_tools(bool no_power);

/// Where a tool is held to drive a fixing, and the way it stands off: at its head; at a hole out on each leg of a part
/// bent over a corner.
struct Hold {
  Vec3 head, out;
};
std::vector<Hold> holds(const Fixing& fixing);
/// One of them is reached from there alone.
bool driven_from(const Fixing& fixing, Vec3 below);

/// The tool of that name; null when there is none.
const Tool* tool_named(std::string_view name);

}  // namespace garthwright::sequence
