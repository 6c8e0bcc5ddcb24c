// SPDX-License-Identifier: Apache-2.0
//
// What every sheet is told before it is drawn: the plan, the paper, and how lengths are to be printed.
#pragma once

#include <algorithm>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "plan/plan.h"
#include "sheets/sheet.h"

namespace garthwright::sheets {

enum class Paper { a4, letter };
enum class Turned { landscape, portrait };

/// Prints lengths the way the job's people speak, to half a millimetre or the job's fraction of an inch; with `both`,
/// the other way stands behind in brackets.
struct Lengths {
  LengthStyle style;
  bool both = false;

  std::string operator()(double mm) const;
  /// In the job's own units only, for places with no room.
  std::string brief(double mm) const;
  /// The same to what a pencil can mark: half a millimetre, or 1/32 of an inch.
  std::string marked(double mm) const;
  /// To a tenth of a millimetre: drills, sections, what a saw takes.
  std::string exact(double mm) const;
  /// What of a length is printed.
  double printed(double mm) const;
};

/// What whoever hands the drawings out says of them (fields of ISO 7200). No clock is read: the date is the job's.
struct Issue {
  std::string number;    ///< of the drawings
  std::string revision;  ///< "B"
  std::string changed;   ///< since the print before
};

/// How views lie beside each other (ISO 5456-2): what is seen from the right stands left of the front, or right of it.
enum class Projection { first_angle, third_angle };
/// Third angle where the United States and Canada draw so, else first angle.
Projection projection_in(const Site& site);

struct Brief {
  const Plan& plan;
  Paper paper = Paper::a4;
  Lengths lengths;
  std::string job = {};                 ///< the job file; empty: not known
  std::vector<std::string> kinds = {};  ///< of sheet that the set has
  std::optional<Money> hour = {};       ///< what an hour of work is worth
  double margin_percent = 0;
  Issue issue = {};

  bool draws(std::string_view kind) const { return std::find(kinds.begin(), kinds.end(), kind) != kinds.end(); }
};

/// An empty page. The drawing goes in drawing_area; below it is the title block, which is filled in last.
Sheet new_sheet(const Brief& brief, std::string id, std::string title, Turned turned);
Rect drawing_area(const Sheet& sheet);

/// Fills in the foot of every page that is not bare: job, sheet, page x of y, date, units, scale, number, revision and
/// the sign of the projection.
void stamp_title_blocks(std::vector<Sheet>& sheets, const Brief& brief);

}  // namespace garthwright::sheets
