// SPDX-License-Identifier: Apache-2.0
//
// What one fixing is made of, for the formulas of both routes: as its maker declares it, else cautious values of our
// own (each of the order that makers declare, and below it; marked so in what is said). N, mm, N/mm².
#pragma once

#include <string>

#include "structure/structure.h"

namespace garthwright::strength {

struct FixingValues {
  double d = 0;          ///< outside
  double root = 0;       ///< inside the thread; d without one
  double shank = 0;      ///< of the smooth part
  double thread = 0;     ///< length, point included
  double head = 0;       ///< across the head, or the washer under it
  double fu = 0;         ///< steel
  double my = 0;         ///< declared yield moment; 0: by fu
  double my_part = 0.3;  ///< of fu d^2.6: 0.45 where it is square
  double fax = 0;        ///< withdrawal; 0: by EN 1995-1-1 (8.38), which holds for what is known of it
  double fhead = 0;      ///< head pulling through
  double tension = 0;
  double rho = 350;  ///< that fax and fhead hold for
  bool declared = false;
  std::string words;  ///< "declared by …", "no declaration: cautious values of our own"
};

FixingValues values_of(const Fixing& fixing);

/// Area of a metric bolt that is stressed in its thread (ISO 898-1: M8 36.6, M10 58.0, M12 84.3 mm²).
double stress_area(double d);

}  // namespace garthwright::strength
