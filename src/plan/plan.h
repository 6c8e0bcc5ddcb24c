// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "base/length.h"
#include "buying/buying.h"
#include "marking/marking.h"
#include "pattern/job.h"
#include "plan/thrift.h"
#include "structure/structure.h"

namespace garthwright {

/// One line of the piece list: all pieces of one mark.
struct PieceRow {
  std::string mark;
  std::string name;       ///< "rafter"
  std::string structure;  ///< the job's name for the structure it is of
  int structure_index = 0;
  PieceId example;  ///< one of the pieces of this mark
  int quantity = 0;
  std::string section;
  double width_mm = 0, thickness_mm = 0, length_mm = 0;
  double volume_mm3 = 0;
  double mass_kg = 0;  ///< of one, at the moisture it is bought with
  std::string why;     ///< "opening 1400 + 2 × post thickness 45 + …"
};

/// A mass to be lifted or carried, kg, and its centre in world coordinates.
struct Whole {
  double timber_kg = 0, panels_kg = 0;
  Vec3 centre;
  Box box;  ///< world box around everything above and below ground
};

/// Everything the faces show. Nothing beyond this is computed by a face.
struct Plan {
  std::string title;
  LengthStyle style;
  pattern::Job job;
  std::vector<Structure> structures;
  std::vector<Whole> wholes;  ///< one for each structure
  std::vector<PieceRow> pieces;
  buying::Report purchase;
  marking::Report marking;
  std::vector<ChoiceThrift> thrift;   ///< where the price jumps; empty unless somebody asked (plan/thrift.h)
  std::vector<std::string> cautions;  ///< short lines for print, in order of the work
  Diagnostics diagnostics;
};

/// The plan of a job. Fails when the input is wrong; what a check finds against a buildable plan stands in its
/// diagnostics instead. What is `on_hand` is bought with (buying/buying.h); the plan says what it uses of it.
Result<Plan> make_plan(const pattern::Job& job, const pattern::Shelves& shelves, const buying::OnHand& on_hand = {});

/// Why a mark is as long as it is: its sum and each quantity the sum rests on, a line each. Fails on an unknown mark,
/// naming those there are.
Result<std::vector<std::string>> why(const Plan& plan, std::string_view mark);

}  // namespace garthwright
