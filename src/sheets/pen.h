// SPDX-License-Identifier: Apache-2.0
//
// Strokes of the pen that all sheets share: lines, boxes, circles, hatching and lettering, added to a list of items.
#pragma once

#include <string_view>
#include <vector>

#include "sheets/lettering.h"
#include "sheets/sheet.h"

namespace garthwright::sheets {

/// Sizes of lettering (em, mm).
inline constexpr double kNote = 2.4;                ///< fine print
inline constexpr double kBody = 2.9;                ///< tables and words
inline constexpr double kDrawn = 2.5 / kCapHeight;  ///< in drawings: capitals of 2.5 mm (a size of ISO 3098-1), no less
inline constexpr double kHeading = 4.4;             ///< over a table or a picture
inline constexpr double kTitle = 8.0;               ///< the job's name on the cover

using Outline = std::vector<Point>;

void line(Items& items, Point from, Point to, double weight = kMedium, Dash dash = Dash::solid);
void polyline(Items& items, const Outline& points, double weight = kMedium, Dash dash = Dash::solid);
void outline(Items& items, const Outline& points, double weight = kMedium, Dash dash = Dash::solid);
void box(Items& items, const Rect& rect, double weight = kMedium, Dash dash = Dash::solid);
void circle(Items& items, Point centre, double radius, double weight = kMedium, Dash dash = Dash::solid);
void fill(Items& items, const Outline& points, double ink);
void fill_circle(Items& items, Point centre, double radius, double ink);

Outline corners(const Rect& rect);
Path circle_path(Point centre, double radius);

/// Parallel hair lines inside an outline, `spacing` mm apart, rising to the right by `angle_deg`. The lines lie on a
/// lattice fixed to the page, so that neighbouring areas run on and equal areas look equal. Outlines within the first
/// are left white (even-odd): that is how lettering stands in a hatched area.
void hatch(Items& items, const std::vector<Outline>& outlines, double spacing = 1.2, double angle_deg = 45,
           double weight = kHair);

/// A straight line that leaves out what lies within the given boxes (grown by 0.6 mm).
void line_clear_of(Items& items, Point from, Point to, const std::vector<Rect>& boxes, double weight = kMedium,
                   Dash dash = Dash::solid);

/// Lettering, measured. Returns its black.
Rect write(Items& items, std::string_view words, Point at, double size = kBody, Lettering lettering = Lettering::plain,
           int align = -1, double turn_deg = 0);

/// Lines of lettering broken to fit `width`, the first baseline one cap height below `top_left`. Returns the y below
/// the last line.
double write_block(Items& items, std::string_view words, Point top_left, double width, double size = kBody,
                   Lettering lettering = Lettering::plain, double leading = 1.35);
double block_height(std::string_view words, double width, double size, Lettering lettering = Lettering::plain,
                    double leading = 1.35);

}  // namespace garthwright::sheets
