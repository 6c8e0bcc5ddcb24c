// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>

#include "base/diagnostic.h"

namespace garthwright {

/// Lengths are millimetres in a double inside the program; people write and read them in the ways below.
/// 1 in is 25.4 mm exactly (international inch, 1959), 1 ft is 12 in.
inline constexpr double kMillimetresPerInch = 25.4;

enum class Units { mm, feet_inches };

/// How lengths are printed.
struct LengthStyle {
  Units units = Units::mm;
  int fraction = 16;   ///< finest part of an inch: 2, 4, 8, 16, 32 or 64
  bool symbol = true;  ///< whether "mm" stands behind a metric length

  bool operator==(const LengthStyle&) const = default;
};

/// Reads a length a person wrote, in mm. Accepts `1150`, `1150 mm`, `115 cm`, `1.15 m`, `45 1/4 in`, `45 1/4"`, `2ft`,
/// `7' 6 1/2"`, `7 ft 6-1/2 in`, `3' 9.25"`, `-12 mm`; typographic marks (′ ″ ½ ¼ ¾ ⅛ …) and a decimal comma too.
/// A bare number is millimetres. Fails with code "bad-length" on anything else, on a value that is not finite, and on
/// one beyond ±1,000,000 mm.
Result<double> parse_length(std::string_view text);

/// Reads two lengths written as a section: `45 x 95`, `1 1/2" x 3 1/2"`, `45x95 mm` (a unit at the end holds for both
/// where the first has none). Returns them in the order written.
Result<std::pair<double, double>> parse_section_size(std::string_view text);

/// Prints a length: `1240 mm`, `1240.5 mm` (a tenth at the finest); `7' 6 1/2"`, `3/8"`, `0"`. Rounds half away from
/// zero to the style's step, never to a nicer but wrong number; a carry makes `1' 0"`, not `11 16/16"`.
std::string format_length(double mm, LengthStyle style = {});

/// The value, in mm, that format_length prints: what a person will mark with that style.
double printed_value(double mm, LengthStyle style = {});

}  // namespace garthwright
