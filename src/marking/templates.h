// SPDX-License-Identifier: Apache-2.0
//
// Templates of shaped ends: one for each different shape of each mark, however often and at whichever end it is sawn,
// with what the saw and the grain have to say about it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "base/length.h"
#include "marking/curve.h"
#include "structure/garden.h"
#include "structure/saw.h"

namespace garthwright::marking {

/// A shape as its template shows it: the tip to the left at x = 0, y down from the edge that stays whole.
struct Template {
  enum class Ends { datum, far, both };
  std::string mark;
  std::string name;     ///< of the piece: "rafter"
  std::string profile;  ///< "ogee"
  Ends ends = Ends::datum;
  int count = 0;  ///< ends sawn by it, over all pieces of the mark
  double width = 0, thickness = 0;
  ShapedEnd path;                   ///< from the sawn edge (y = width) to the tip
  double reach = 0;                 ///< how far from the tip the shape goes
  std::vector<double> shoulders;    ///< of notches near by, from the tip, the nearest first
  std::optional<Bend> tightest;     ///< none: straight cuts only
  std::string saw;                  ///< which blades follow it, in words
  std::optional<ShapedEnd> easier;  ///< the nearest curve that the blade in use follows; none when it follows this one
  double easier_departs = 0;        ///< how far it strays from the path, mm
  std::vector<std::string> attention;  ///< too tight, not fair, short grain, feather end
};

/// "H1-both", "J1-datum", "J1-far": which end it is for; a number behind it where an end has several shapes. What
/// would not do in a file's name is left out.
std::string file_stem(const Template& t, const std::vector<Template>& all);

std::vector<Template> templates(const Garden& garden, const Saw& saw, LengthStyle style = {});

/// The attention lines as warnings that name the mark.
Diagnostics warnings(const std::vector<Template>& all);

/// Where the cutting line stands at a station from the tip: distances from the whole edge, nearest first.
std::vector<double> ordinates(const Template& t, double station);

/// A station and the distances there, as the table on the template's sheet has them: every `step` mm from the tip, and
/// where the shape ends.
struct Ordinate {
  double station = 0;
  std::vector<double> to_line;
};
std::vector<Ordinate> ordinate_table(const Template& t, double step);

/// 10 mm or half an inch.
double ordinate_step(Units units);

}  // namespace garthwright::marking
