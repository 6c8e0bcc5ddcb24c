// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "structure/structure.h"

namespace garthwright::marking {

/// One pencil line or point on a piece, measured along it from the named end. `face` is called by how it looks when the
/// piece stands ("top", "bottom", "front", "inside" …), `kind` one of "end", "mitre", "shape", "shoulder", "hole",
/// "depth".
struct Mark {
  double at_mm = 0;
  std::string face;
  std::string kind;
  std::string against;     ///< what comes there: "rafter F1"
  double across_mm = 0;    ///< holes: across the face; notches: depth
  double diameter_mm = 0;  ///< holes
  std::string why;         ///< derivation of at_mm where known
};

/// All lines of one mark, nearest the datum first; every position is from the datum, none chained.
struct MarkList {
  std::string mark;
  std::string datum;  ///< "left end", "foot"
  std::vector<Mark> marks;
};

struct Report {
  std::vector<MarkList> lists;
};

/// First marking list of every mark of every structure.
Report mark_out(const std::vector<Structure>& structures);

}  // namespace garthwright::marking
