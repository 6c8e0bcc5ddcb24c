// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "sheets/sheet.h"

namespace garthwright::sheets {

/// Whether two boxes lie over each other; not where they only touch.
bool meet(const Rect& a, const Rect& b);

/// Whether the segment from a to b passes through the box (Liang and Barsky's clipping).
bool passes(Point a, Point b, const Rect& r);

}  // namespace garthwright::sheets
