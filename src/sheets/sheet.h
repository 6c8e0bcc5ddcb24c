// SPDX-License-Identifier: Apache-2.0
//
// A Sheet is one printed page as plain data: its size and what is drawn on it, in millimetres. The drawing rooms build
// sheets; two thin back ends (pdf.h, svg.h) turn them into bytes; inspect.h asks whether one can be read.
//
// Frame of reference: the page's top left corner, x to the right, y down, mm. There is one ink, black, and one paper,
// white: what a line means is told by its weight, its dash and by hatching, never by colour.
#pragma once

#include <string>
#include <variant>
#include <vector>

namespace garthwright::sheets {

struct Point {
  double x = 0, y = 0;

  bool operator==(const Point&) const = default;
};
inline Point operator+(Point a, Point b) { return {a.x + b.x, a.y + b.y}; }
inline Point operator-(Point a, Point b) { return {a.x - b.x, a.y - b.y}; }
inline Point operator*(double s, Point a) { return {s * a.x, s * a.y}; }

/// A box on the page; empty when left is beyond right.
struct Rect {
  double left = 0, top = 0, right = 0, bottom = 0;

  bool operator==(const Rect&) const = default;
  double width() const { return right - left; }
  double height() const { return bottom - top; }
  Point centre() const { return {(left + right) / 2, (top + bottom) / 2}; }
  Rect grown(double by) const { return {left - by, top - by, right + by, bottom + by}; }
};

/// Widths of lines, mm: ISO 128-20's group 0.35, whose narrow, wide and extra-wide lines are as 1 : 2 : 4, and between
/// the last two the next of its series for what is sawn.
inline constexpr double kHair = 0.18;    ///< narrow: dimensions, hatching, hidden edges, table rules
inline constexpr double kMedium = 0.35;  ///< wide: visible edges
inline constexpr double kThick = 0.5;    ///< cut outlines, the frame of a table
inline constexpr double kHeavy = 0.7;    ///< extra wide: the ground, the title block

enum class Dash {
  solid,
  dashed,  ///< hidden, or below ground
  chain,   ///< centre and reference lines
};

/// Straight and Bézier strokes; several outlines may follow each other, each begun by a move.
struct Path {
  struct Step {
    enum class Kind { move, line, cubic, close };
    Kind kind = Kind::move;
    Point to;
    Point handle1, handle2;  ///< cubic only
  };
  std::vector<Step> steps;
};

/// Lengths of black and white in turn, mm; empty for a solid line.
std::vector<double> dash_pattern(Dash dash);

struct Stroke {
  Path path;
  double weight = kMedium;
  Dash dash = Dash::solid;
};

/// A filled area (even-odd). `ink` is 1 for black, 0 for paper: 0 hides what was drawn before.
struct Fill {
  Path path;
  double ink = 1;
};

enum class Lettering { plain, bold };

/// One line of lettering. `at` is where its baseline begins; `turn_deg` turns it anticlockwise about that point.
/// `ink` is the measured box, on the page, around the black of its letters; `advance` its set width.
struct Text {
  std::string words;  ///< UTF-8, no control characters
  Lettering lettering = Lettering::plain;
  double size = 3;  ///< of the em, mm
  Point at;
  double turn_deg = 0;
  double advance = 0;
  Rect ink;
};

struct Item;
using Items = std::vector<Item>;

/// Items that belong together, under a name that tests and the page's preview can find them by.
struct Group {
  std::string name;
  Items items;
};

struct Item {
  std::variant<Stroke, Fill, Text, Group> value;
};

struct Sheet {
  std::string id;     ///< "pieces", "front-and-side"; several pages of one kind share it
  std::string title;  ///< as the title block has it: "Piece list"
  std::string scale;  ///< "1 : 20", or empty where nothing is to scale
  double width = 297, height = 210;
  Items items;
  bool bare = false;     ///< without a title block: paper that is cut up or stuck on
  double filled_to = 0;  ///< y down to which a flow has filled it; 0: it takes nothing more
};

/// All lettering of a sheet, in drawing order.
std::vector<const Text*> all_text(const Sheet& sheet);

}  // namespace garthwright::sheets
