// SPDX-License-Identifier: Apache-2.0
//
// The lines of a piece in words: every place from the datum end, rows at one pitch told once, and names under which the
// lines of one hand are found again on another.
#pragma once

#include <string>
#include <vector>

#include "sheets/brief.h"

namespace garthwright::sheets {

struct Place {
  double at = 0;
  std::string words;
};

/// Near lines of many alike on one face, each as far from the next: told by the first and the pitch.
struct EvenRow {
  std::string face, noun;
  double first = 0, last = 0, pitch = 0;
  std::size_t count = 0;
};
std::vector<EvenRow> even_rows(const marking::MarkList& list);

/// Places from the datum end, as the marking list has them; what lies at one place is told once, the far line of a seat
/// by its number alone, and of a row at one pitch the first and the last. Screws are told in rows of their own.
std::vector<Place> places(const Brief& brief, const marking::MarkList& list, double length);

/// A line of a piece under a name that the same line of another hand has too.
struct NamedLine {
  std::string name;  ///< "left: rail, near line"
  double at = 0;
  std::string mark;  ///< of what comes there
};
std::vector<NamedLine> named_lines(const marking::MarkList& list, double length);

}  // namespace garthwright::sheets
