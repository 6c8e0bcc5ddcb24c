// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/length.h"
#include "marking/cutting_order.h"
#include "marking/squareness.h"
#include "marking/templates.h"
#include "structure/structure.h"

namespace garthwright::marking {

/// In the order in which those at one place are listed.
enum class MarkKind {
  depth,    ///< how far down a notch goes: a line on the two neighbouring faces from its first shoulder to its second
  end,      ///< where the timber is cut off square
  hole,     ///< a centre, `across_mm` across the face
  mitre,    ///< where a slanting cut meets an edge or a side: a line on each of the two
  shape,    ///< where a shaped end leaves the edges
  shoulder  ///< a side of a notch, `across_mm` deep
};
std::string_view name(MarkKind kind);

/// One pencil line or point on a piece, measured along it from the named end. `face` is called by how it looks when the
/// piece stands: "top", "front", "left" …; where pieces of one mark stand turned about, "inside" and "outside" of the
/// structure; where even that differs, by the joiner's "face side" (the wide side at z = 0), "back side", "face edge"
/// (the narrow one at y = 0) and "back edge".
struct Mark {
  double at_mm = 0;
  std::string face;
  MarkKind kind = MarkKind::end;
  std::string against;     ///< what comes there: "rafter F1"; a shape's name; what a hole is for
  double across_mm = 0;    ///< holes: across the face, from the side that `setting` names; notches: depth
  double diameter_mm = 0;  ///< holes
  std::string setting;     ///< "saw 45° (mitre)", "40 mm deep, from the top", "stopped: 20 mm to 75 mm from the front"
  std::string why;         ///< derivation of at_mm (of a depth: of the depth) where known
};

/// All lines of one mark, nearest the datum first; every position is from the datum, none chained.
struct MarkList {
  std::string mark;
  std::string
      datum;  ///< "left end", "foot"; with the others' where they stand turned: "left end (back beam: right end)"
  std::vector<Mark> marks;
};

struct Report {
  std::vector<MarkList> lists;
  std::vector<Template> templates;
  CuttingOrder order;
  std::vector<FlatFrame> frames;
};

/// The marking list of every mark of every structure, from the machining that its pieces share. Holes that are drilled
/// when the timbers are together (those of fixings) are not among it. `style` prints lengths inside text.
Report mark_out(const std::vector<Structure>& structures, LengthStyle style = {}, const Saw& saw = {});

}  // namespace garthwright::marking
