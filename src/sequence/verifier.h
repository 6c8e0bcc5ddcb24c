// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "sequence/rates.h"
#include "sequence/stages.h"
#include "solid/solid.h"
#include "structure/structure.h"

/// Judges an order of work step by step, whoever wrote it. Knows the structure, its solids, the sizes of tools and the
/// guideline figures; shares nothing else with the planner: no tables, no kernel. A way in is checked as the solid it
/// sweeps, against every part that stands, by separating axes.

namespace garthwright::sequence {

enum class Fault {
  none,
  not_a_step,    ///< names what does not exist, or does a thing that cannot be done now
  not_sealed,    ///< a piece goes in whose cuts were not made and sealed
  not_dug,       ///< a post without its hole
  path_blocked,  ///< something stands in the way in, or it comes through the trestles
  pieces_apart,  ///< a fixing's bodies are not together
  out_of_reach,  ///< no room for the tool
  falls,         ///< something is left with nothing that holds it
  racks,         ///< a frame is lifted or turned that gives way sideways
  too_heavy,     ///< a lift over the guideline figure for so many people
  wet_concrete,  ///< posts are loaded before their concrete has set, or it is poured round a post that is not plumb
  done_twice,
  left_out,  ///< at the end: a piece, fixing, hole or treatment was forgotten, a strut or batten left
};

/// "path blocked", "racks" …
std::string_view name(Fault fault);

struct Verdict {
  Fault fault = Fault::none;
  int stage = 0;    ///< number of the first wrong one; after the last when the end is wrong
  int step = -1;    ///< within all steps, from 0
  std::string why;  ///< names of what is concerned: "front rafter J1 runs into back fascia beam H1"

  bool accepted() const { return fault == Fault::none; }
};

struct VerifierLimits {
  int people = 3;
  double tight_fit = 0.1;  ///< mm by which solids may reach into each other on the way
};

Verdict verify(const Structure& structure, const solid::Solids& solids, const std::vector<Stage>& stages,
               const Rates& rates, const VerifierLimits& limits = {});

}  // namespace garthwright::sequence
