// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/length.h"
#include "marking/cutting_order.h"
#include "marking/seat.h"
#include "marking/squareness.h"
#include "marking/templates.h"
#include "structure/garden.h"

namespace garthwright::marking {

/// In the order in which those at one place are listed.
enum class MarkKind {
  centre,   ///< the middle of a seat that is one of a row: a chain line; of a bracket, its fold
  depth,    ///< how far down a notch goes: a line on the two neighbouring faces from its first shoulder to its second
  end,      ///< where the timber is cut off square
  hole,     ///< a centre, `across_mm` across the face from the edge `from`
  mitre,    ///< where a slanting cut meets an edge or a side: a line on each of the two
  seat,     ///< a side of what only meets the piece there: a pencil line, nothing is sawn
  shape,    ///< where a shaped end leaves the edges
  shoulder  ///< a side of a notch, `depth_mm` deep
};
std::string_view name(MarkKind kind);

/// Where what is set against a line lies, seen along the piece from its datum end.
enum class Lies { nowhere, before, beyond };
std::string_view name(Lies lies);

/// A hole for a fixing, drilled when the timbers are together.
struct ForFixing {
  std::string item;
  double counterbore_mm = 0, sunk_mm = 0;
  bool first = false, last = false;  ///< of what the fixing goes through
};

/// One pencil line or point on a piece, measured along it from the named end. `face` is called by how it looks when the
/// piece stands: "top", "front", "left" …; where pieces of one mark stand turned about, "inside" and "outside" of the
/// structure; where even that differs, by the joiner's "face side" (the wide side at z = 0), "back side", "face edge"
/// (the narrow one at y = 0) and "back edge".
struct Mark {
  double at_mm = 0;
  std::string face;
  MarkKind kind = MarkKind::end;
  std::string against;  ///< what comes there: "rafter F1"; a shape's name; what a hole is for
  Lies side = Lies::nowhere;
  std::optional<Face> on;  ///< the one face it is on
  std::optional<Face> from_face;
  std::string from;  ///< the edge that `across_mm` is measured from: "front"
  std::optional<double>
      across_mm;  ///< holes: their centre; seats: the nearest side of what comes there (below 0: beyond the edge)
  std::optional<double> wide_mm;              ///< seats: from there to its other side
  std::optional<double> across_thickness_mm;  ///< holes in an end: from the face side
  double depth_mm = 0;                        ///< of a notch, a hole, or the seat below the face
  double diameter_mm = 0;                     ///< holes; 0: driven without drilling
  std::string setting;   ///< "saw 45° (mitre)", "from the top", "stopped: 20 mm to 75 mm from the front"
  std::string why;       ///< derivation of at_mm (of a depth: of the depth) where known
  double angle_deg = 0;  ///< seats: how far the line leans from square across (SeatLine)
  double tilt_deg = 0;   ///< seats: how far what comes there rises off the face, away from the edge `from` (Seat)
  bool is_near = false;  ///< seats: the line nearer the datum
  /// Whose line this is, for each of the list's pieces: none where that piece is not met there. Empty: of no seat.
  std::vector<std::optional<Seat>> seats;
  std::optional<ForFixing> fixing;
};

/// All lines of equal pieces, nearest the datum first; every position is from the datum, none chained. Pieces of one
/// mark that are met by others in different places have a list each: as left and right hand where one is the other's
/// mirror image.
struct MarkList {
  std::string mark;
  std::string hand;  ///< "", "left", "right", else "a", "b" …
  std::string
      datum;  ///< "left end", "foot"; with the others' where they stand turned: "left end (back beam: right end)"
  int structure = 0;
  std::vector<PieceId> pieces;
  std::array<std::string, 6> faces;  ///< what each Face is called, in the order of the enumeration
  std::vector<Mark> marks;
};

struct Report {
  std::vector<MarkList> lists;
  std::vector<Template> templates;
  CuttingOrder order;
  std::vector<FlatFrame> frames;
};

/// The marking list of every mark of every structure: machining, seats of what meets the piece, and the holes of its
/// fixings. `style` prints lengths inside text.
Report mark_out(const Garden& garden, LengthStyle style = {}, const Saw& saw = {}, Heads heads = Heads::at_the_bench);

/// "A1", "A1 left hand".
std::string title(const MarkList& list);

}  // namespace garthwright::marking
