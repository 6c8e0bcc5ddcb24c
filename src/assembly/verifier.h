// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>

#include "assembly/assembly.h"
#include "assembly/plan.h"

/// Judges a build order step by step, whoever wrote it. Shares the shapes with the planner and nothing else: here a
/// motion is the solid it sweeps, written as half-spaces (the time eliminated after Fourier and Motzkin), and the solid
/// that stands in the way is cut down by them until something or nothing is left.

namespace garthwright::assembly {

enum class Fault {
  none,
  not_a_step,           ///< names a piece or fastener that does not exist, or a path without length
  not_a_group,          ///< moving or target is not exactly one whole group, or both are the same
  fixed_moves,          ///< a fixed piece would have to move
  collides,             ///< something is in the way
  pieces_apart,         ///< a fastener's pieces are not in one group yet
  driver_does_not_fit,  ///< no room for the tool
  driven_twice,
  fastener_forgotten,
  left_apart,  ///< at the end not all pieces are one group
};

/// "collides", "driver does not fit" …
std::string_view name(Fault fault);

struct Verdict {
  Fault fault = Fault::none;
  int step = -1;    ///< first wrong step, from 0; the number of steps when the end is wrong
  std::string why;  ///< names of what is concerned: "rail runs into P2"

  bool accepted() const { return fault == Fault::none; }
};

Verdict verify(const Assembly& assembly, const Plan& plan);

}  // namespace garthwright::assembly
