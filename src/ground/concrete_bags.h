// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string_view>

/// Concrete in a post hole: volumes and bags. Any one unit of length in, its cube out, unless said.
namespace garthwright::ground {

/// Whole hole, and what is left beside a square post that runs through it.
struct HoleVolume {
  double gross = 0, net = 0;
};
HoleVolume round_hole(double diameter, double depth, double post);
HoleVolume square_hole(double side, double depth, double post);
HoleVolume round_hole(double diameter, double depth, double post_a, double post_b);
/// Always up; a hair over a whole number is that number.
int bags(double volume, double yield);

/// Yield of a bag of ordinary mix: 0.3, 0.45 and 0.6 ft³ for 40, 60 and 80 lb (makers' sheets), that is 0.0075 ft³/lb.
/// Fast-setting mixes are about the same.
double bag_yield_ft3(double bag_lb);
inline constexpr double kLitrePerFt3 = 28.316847;
/// Bags of 20 kg to the m³ (a maker's sheet, 9.26 l each).
inline constexpr double kBags20kgPerM3 = 108;
/// Mixing water of a 60 lb bag, l, and dry-pour water of a 20 kg bag of rapid-setting mix: wetting the hole, then on
/// top.
inline constexpr double kWater60lbLeast = 1.9, kWater60lbMost = 3.3, kRapidPrewet = 0.25, kRapidWater = 2.0;

/// Materials of a m³ mixed by machine, waste included.
struct Mix {
  std::string_view name;  ///< "C20_1_2_4"
  double cement_kg = 0, sand_kg = 0, gravel_kg = 0, water_l = 0;
};
std::optional<Mix> mix(std::string_view name);

/// Fast-setting post concrete: minutes to set, hours to a light load and to going on. Ordinary concrete: a day or two.
struct SettingTimes {
  double set_least_min = 20, set_most_min = 40, light_load_h = 4, continue_h = 24;
};
inline constexpr SettingTimes kFastSetting{};

/// Rules of thumb of makers and fencers; none is a wind check.
inline double hole_three_posts(double post) { return 3 * post; }
inline double hole_two_posts(double post) { return 2 * post; }
inline double bury_a_quarter(double post_length) { return post_length / 4; }
inline constexpr double kGravelUnderIn = 6;
inline constexpr double kGammaPlain = 24, kGammaFresh = 25;  ///< kN/m³, EN 1991-1-1 Table A.1 (from memory)

}  // namespace garthwright::ground
