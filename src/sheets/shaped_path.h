// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "sheets/pen.h"
#include "structure/structure.h"

namespace garthwright::sheets {

/// The path of a shaped end as points (x along the piece, y across its width, mm), never farther than `tolerance` mm
/// from the true curve.
Outline points_of(const ShapedEnd& shape, double tolerance = 0.02);

/// What is sawn away: the path, closed round the end of the blank.
Outline waste_of(const ShapedEnd& shape, double length, double width);

/// The part of a chain of points within a box, as separate runs.
std::vector<Outline> clipped(const Outline& points, const Rect& box);

}  // namespace garthwright::sheets
