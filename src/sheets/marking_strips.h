// SPDX-License-Identifier: Apache-2.0
//
// A piece on its long faces, unrolled: roll the timber away from you and the next strip comes up.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sheets/marking_lines.h"
#include "sheets/pen.h"
#include "sheets/scale.h"

namespace garthwright::sheets {

inline constexpr double kLabels = 26, kFewLabels = 22;  ///< room for the names of the faces, left of the strips, mm
inline constexpr double kWordsLong = 30;                ///< at most, of a number and its words
inline constexpr double kBelowNote = 4;                 ///< white
inline constexpr double kBetween = 1.2;                 ///< white between strips, at least
inline constexpr double kNamed = 4.2;                   ///< from middle to middle of two strips, for their names

/// One list as it is drawn in a column of the page.
struct Drawn {
  const PieceRow* row;
  const marking::MarkList* list;
  const Structure* structure;
  double width = 0, labels = 0;  ///< of the column; of it, for the names of the faces
  Scale scale{};
  std::vector<Face> faces{};  ///< those that bear a mark
  std::vector<Place> marks{};
  std::string note{};
  double words = 0, height = 0;

  const Piece& piece() const { return (*structure)[list->pieces.front()]; }
};

double across(const Piece& piece, Face face);
/// What the strips take, one above the other, with the white between them.
double strips_high(const Drawn& d);
/// How the list is drawn in a column of that width.
Drawn measured(const Brief& brief, const PieceRow& row, const marking::MarkList& list, double width, double labels);

/// What stands over a drawing: the mark, and what it is.
struct Heading {
  std::string mark, what;
};

void draw(Items& items, const Brief& brief, const Drawn& d, Point corner, std::optional<Heading> over = {});
/// What is said below the drawing.
void write_note(Items& items, const Drawn& d, Point corner);

}  // namespace garthwright::sheets
