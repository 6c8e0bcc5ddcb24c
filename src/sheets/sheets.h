// SPDX-License-Identifier: Apache-2.0
//
// The set of sheets that a plan is handed over as.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "plan/plan.h"
#include "sheets/brief.h"
#include "sheets/pdf.h"
#include "sheets/sheet.h"
#include "sheets/svg.h"
#include "solid/solid.h"

namespace garthwright::sheets {

struct SheetOptions {
  Paper paper = Paper::a4;
  std::vector<std::string> which;  ///< kinds by name, in any order; empty: those that a builder needs
  bool both_units = false;         ///< the other units in brackets, where there is room
  std::string job = {};            ///< the job file, for the code on the first sheet; empty: without one
  std::optional<Money> hour = {};  ///< what an hour of work is worth, for the cost sheet; none: hours alone
  double margin_percent = 0;       ///< on materials and work
  Issue issue = {};                ///< number, revision and what changed; empty: left open, to be written by hand
};

/// The kinds of sheet by name, in the order they are printed: "outside", "cautions", "shopping", …
const std::vector<std::string>& sheet_kinds();
/// "a4" or "letter"; fails with "unknown-paper".
Result<Paper> parse_paper(std::string_view word);

/// Fails with "unknown-sheet" when `which` names a kind there is not.
Result<void> check(const SheetOptions& options);

/// Draws the sheets of a plan (unknown kinds are left out: see check). `solids`, one for each structure and in their
/// order, saves making them again; without them they are made here when a sheet needs them.
std::vector<Sheet> draw_sheets(const Plan& plan, const SheetOptions& options = {},
                               const std::vector<const solid::Solids*>& solids = {});

/// One template full size on a sheet of its own size, with nothing around it but its name: for a plotter, or a program.
Sheet draw_template(const marking::Template& t, const Lengths& lengths);

/// What a PDF of the plan's sheets says of itself.
PdfInfo pdf_info(const Plan& plan);

}  // namespace garthwright::sheets
