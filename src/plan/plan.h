// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "base/length.h"
#include "buying/buying.h"
#include "cutting/cutting.h"
#include "ground/study.h"
#include "marking/marking.h"
#include "pattern/job.h"
#include "plan/left_out.h"
#include "plan/stands.h"
#include "plan/thrift.h"
#include "sequence/sequence.h"
#include "solid/solid.h"
#include "strength/study.h"
#include "structure/check_words.h"
#include "structure/garden.h"

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

/// A post's hole in the garden, and what fills it.
struct HoleRow {
  PartId part;
  PieceId post;
  Vec3 centre;           ///< on the ground, in the garden
  double ground_mm = 0;  ///< height of the ground there, from the part's own zero
  double diameter_mm = 0, depth_mm = 0, gravel_mm = 0;
  double concrete_l = 0;  ///< the post's own volume out
  std::string bag;        ///< what it is filled with; empty when no yard sells its fill
  int bags = 0;           ///< for this hole alone
};

/// Everything the faces show. Nothing beyond this is computed by a face.
struct Plan {
  std::string title;
  LengthStyle style;
  pattern::Job job;
  Garden garden;
  std::vector<Whole> wholes;  ///< one for each structure
  std::vector<PieceRow> pieces;
  buying::Report purchase;
  std::vector<HoleRow> holes;
  marking::Report marking;
  Site site;
  strength::Report strength;
  ground::Report ground;
  std::vector<Stand> stands;             ///< the wind each part stands to, by state; empty unless asked for
  std::vector<sequence::Report> orders;  ///< one for each structure when asked for; stages are numbered through
  std::vector<ChoiceThrift> thrift;      ///< where the price jumps; empty unless somebody asked (plan/thrift.h)
  std::vector<std::string> cautions;     ///< short lines for print, in order of the work
  /// Not worked out: not asked for, or not done before the time was up, which a diagnostic then says. Where the checks
  /// are left out, one row of each part says that nothing was checked.
  std::vector<Study> left_out;
  Diagnostics diagnostics;
};

/// What is worked out only when it is asked for, and what a plan may cost. Where it would cost more it is not made at
/// all, so that no limit changes an answer.
struct PlanOptions {
  std::optional<sequence::Options> order;  ///< the order of work: takes tens of milliseconds
  bool stands = false;                     ///< the wind at which each part gives: some tens of frames
  buying::OnHand on_hand = {};             ///< is bought with (buying/buying.h); the plan says what it uses of it
  cutting::Options cutting = {};  ///< of each section's purchase; its `cancel` ends the whole plan ("cancelled")
  std::size_t most_structures = std::numeric_limits<std::size_t>::max();
  std::size_t most_pieces = std::numeric_limits<std::size_t>::max();  ///< of all structures together
  bool checks = true;  ///< of strength and ground, which take longest where there are many joints
};

/// The plan of a job. Fails when the input is wrong; what a check finds against a buildable plan stands in its
/// diagnostics instead. Whoever calls may set a time for it (base/patience.h): what is not ready then is left out, the
/// checks first, and "too-long" is the failure where not even pieces and price are. `solids`, when given, becomes those
/// of the plan's structures, in their order: they stay good as long as the plan is moved and never copied.
Result<Plan> make_plan(const pattern::Job& job, const pattern::Shelves& shelves, const PlanOptions& options = {},
                       std::vector<solid::Solids>* solids = nullptr);

/// Nothing that was asked for is left out.
bool is_whole(const Plan& plan);

/// Of timbers, joints and frame, then of the holes.
std::vector<const Check*> all_checks(const Plan& plan);
/// How many have a verdict.
int count(const Plan& plan, Verdict verdict);
/// The check to look at first: the worst verdict, and of those the most used; none when nothing was checked.
const Check* worst_check(const Plan& plan);

/// A check in words.
CheckWords words_of(const Plan& plan, const Check& check);

/// Why a mark is as long as it is: its sum and each quantity the sum rests on, a line each. Fails on an unknown mark,
/// naming those there are.
Result<std::vector<std::string>> why(const Plan& plan, std::string_view mark);

}  // namespace garthwright
