// SPDX-License-Identifier: Apache-2.0
//
// Templates for other drawing programs and for machines that cut along lines: DXF of release 2000, full size in mm.
// x from the tip of the timber to the right, y up from the edge that is sawn (the whole edge is at y = width).
//
// Layers by meaning: CUT (the saw's line, exact: lines, arcs and cubic splines), EDGES (what stays of the timber's
// own edges), REFERENCE (centre line, and where the shape ends), SHOULDERS (of notches near by), EASIER (the nearest
// curve for the blade in use, where this one is too tight), NOTES (what it is, and a line of 100 mm to check by).
#pragma once

#include <string>

#include "marking/templates.h"

namespace garthwright::exchange {

std::string template_dxf(const marking::Template& t);

}  // namespace garthwright::exchange
