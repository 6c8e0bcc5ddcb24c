// SPDX-License-Identifier: Apache-2.0
#include "marking/blades.h"

#include <fmt/format.h>

namespace garthwright::marking {
namespace {

constexpr double kMoreWhenThick = 1.25;

}  // namespace

const std::vector<Blade>& blades() {
  using enum CurveTool;
  static const std::vector<Blade> all{
      {bandsaw, 25.4, 194, 1e9, "1"},   {bandsaw, 19.05, 140, 1e9, "3/4"}, {bandsaw, 15.9, 102, 1e9, "5/8"},
      {bandsaw, 12.7, 64, 1e9, "1/2"},  {bandsaw, 9.5, 38, 1e9, "3/8"},    {bandsaw, 6.35, 16, 1e9, "1/4"},
      {bandsaw, 4.76, 10, 1e9, "3/16"}, {bandsaw, 3.2, 5, 1e9, "1/8"},     {jigsaw, 10, 75, 1e9, "3/8"},
      {jigsaw, 8, 40, 1e9, "5/16"},     {jigsaw, 6.35, 25, 1e9, "1/4"},    {jigsaw, 5, 10, 20, "3/16"},
  };
  return all;
}

double least_radius(const Blade& blade, double thickness_mm) {
  return blade.least_radius_mm * (thickness_mm >= kThickFrom ? kMoreWhenThick : 1);
}

const Blade* widest_for(CurveTool tool, double radius_mm, double thickness_mm) {
  for (const Blade& b : blades()) {
    if (b.tool == tool && thickness_mm <= b.most_thickness_mm && radius_mm >= least_radius(b, thickness_mm) - 1e-9)
      return &b;
  }
  return nullptr;
}

const Blade& blade_in_use(const Saw& saw, double thickness_mm) {
  const Blade* chosen = nullptr;
  for (const Blade& b : blades()) {
    if (b.tool != saw.curve_tool || thickness_mm > b.most_thickness_mm) continue;
    chosen = &b;
    // A blade sold as 6 mm is the quarter inch of the tables.
    if (saw.blade_mm > 0 && b.width_mm <= saw.blade_mm + 0.5) break;
  }
  return chosen != nullptr ? *chosen : blades().back();
}

std::string words_for(const Blade& blade) {
  return fmt::format("{} blade {:.0f} mm ({} in)", blade.tool == CurveTool::bandsaw ? "bandsaw" : "jigsaw",
                     blade.width_mm, blade.inches);
}

}  // namespace garthwright::marking
