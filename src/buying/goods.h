// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <map>
#include <string>
#include <vector>

#include "buying/buying.h"

namespace garthwright::buying {

/// What decides how much one hole takes: mm and mm². `post_below` is how far its post reaches below the ground.
struct HoleSizes {
  double diameter = 0, depth = 0, gravel = 0, post_area = 0, post_below = 0;
};
HoleSizes hole_sizes(const Structure& structure, const Footing& footing);
HoleFill hole_fill(const HoleSizes& sizes);

/// What all holes of a job take, litres: of each fill but gravel by its name, and of gravel.
struct Fills {
  std::map<std::string, double> concrete;
  double gravel = 0;

  void add(const std::string& fill, const HoleFill& litres);
};

/// Each adds its lines to the report, and to its diagnostics what cannot be had.
void buy_fixings(const Garden& garden, const timber::Yard& yard, const OnHand& on_hand, Report& report);
void buy_panels(const Garden& garden, const timber::Yard& yard, Report& report);
void buy_fills(const Fills& fills, const timber::Yard& yard, Report& report);
void buy_preservative(const Garden& garden, const timber::Yard& yard, Report& report);

/// "invented prices, as of 2026-03-02".
std::string price_note(const timber::Yard& yard);

/// The whole purchase at what one yard, or a market of several, asks for each thing; no terms are looked at.
class Cutter;
Report buy_at(const Garden& garden, const timber::Yard& yard, const Saw& saw, const OnHand& on_hand, Cutter& cutter);

/// The sum of all lines.
Money total_of(const Report& report);

}  // namespace garthwright::buying
