// SPDX-License-Identifier: Apache-2.0
#include "base/length.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdlib>
#include <optional>

#include "base/quoted.h"

namespace garthwright {
namespace {

constexpr double kLongest = 1'000'000;  // mm; a garden is never a kilometre
constexpr std::size_t kLongestText = 80;

// ---- reading --------------------------------------------------------------------------------------------------------

/// Marks that word processors and phones put for the plain ones.
constexpr std::array<std::pair<std::string_view, std::string_view>, 28> kPlainMarks{{
    {"′", "'"},    {"’", "'"},    {"‘", "'"},    {"″", "\""},     {"”", "\""},     {"“", "\""},     {"−", "-"},
    {"–", "-"},    {"⁄", "/"},    {"×", "x"},    {"\u00A0", " "}, {"\u2009", " "}, {"\u202F", " "}, {"½", " 1/2"},
    {"¼", " 1/4"}, {"¾", " 3/4"}, {"⅛", " 1/8"}, {"⅜", " 3/8"},   {"⅝", " 5/8"},   {"⅞", " 7/8"},   {"⅓", " 1/3"},
    {"⅔", " 2/3"}, {"⅕", " 1/5"}, {"⅖", " 2/5"}, {"⅗", " 3/5"},   {"⅘", " 4/5"},   {"⅙", " 1/6"},   {"⅚", " 5/6"},
}};

std::string plain(std::string_view text) {
  std::string out;
  while (!text.empty()) {
    const auto mark = std::find_if(kPlainMarks.begin(), kPlainMarks.end(), [&](const auto& known) {
      return text.substr(0, known.first.size()) == known.first;
    });
    if (mark != kPlainMarks.end()) {
      out += mark->second;
      text.remove_prefix(mark->first.size());
      continue;
    }
    const char c = text.front();
    out += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c == '\t' ? ' ' : c;
    text.remove_prefix(1);
  }
  return out;
}

enum class Unit { none, mm, cm, m, inch, foot };

/// A number as written: digits (decimal mark already a point), and a fraction that stands behind them or alone.
struct Number {
  std::string digits;
  bool decimal = false;
  bool maybe_thousands = false;  ///< "1,150": a decimal comma to some, a thousands mark to others
  long numerator = 0, denominator = 1;
  bool fraction = false;
};

struct Reading {
  double mm = 0;
  Unit unit = Unit::none;
};

/// Reads one length from left to right. Every step either takes what it knows or leaves the text where it was.
class Reader {
 public:
  explicit Reader(std::string_view text) : rest_(text) {}

  /// Nothing when the text is not a length; then `reason` may say more than that.
  std::optional<Reading> read() {
    const double sign = take_sign();
    const auto first = number();
    if (!first) return {};
    const Unit unit = take_unit();
    std::optional<double> mm;
    if (unit == Unit::foot) {
      mm = feet_and_inches(*first);
    } else {
      mm = in_mm(*first, unit);
    }
    skip_spaces();
    if (!mm || !rest_.empty()) return {};
    return Reading{sign * *mm, unit};
  }

  const std::string& reason() const { return reason_; }

 private:
  void skip_spaces() {
    while (!rest_.empty() && rest_.front() == ' ') rest_.remove_prefix(1);
  }
  bool take(std::string_view word) {
    if (rest_.substr(0, word.size()) != word) return false;
    rest_.remove_prefix(word.size());
    return true;
  }
  double take_sign() {
    skip_spaces();
    if (take("-")) return -1;
    take("+");
    return 1;
  }
  std::string take_digits() {
    std::size_t n = 0;
    while (n < rest_.size() && rest_[n] >= '0' && rest_[n] <= '9') ++n;
    const std::string digits(rest_.substr(0, n));
    rest_.remove_prefix(n);
    return digits;
  }

  /// "12", "12.5", "12,5", ".5", "3/8", "1 3/8", "1-3/8".
  std::optional<Number> number() {
    skip_spaces();
    Number out;
    out.digits = take_digits();
    if (!out.digits.empty() && take("/")) return fraction_of(out.digits, Number{"0"});
    if (take(".")) {
      out.decimal = true;
      const std::string part = take_digits();
      if (part.empty() && out.digits.empty()) return {};
      out.digits += "." + part;
    } else if (!out.digits.empty() && take(",")) {
      out.decimal = true;
      const std::string part = take_digits();
      if (part.empty()) return {};
      out.maybe_thousands = part.size() == 3 && out.digits != "0";
      out.digits += "." + part;
    }
    if (out.digits.empty()) return {};
    return out.decimal ? out : with_fraction(out);
  }

  /// The fraction that may follow a whole number.
  std::optional<Number> with_fraction(const Number& whole) {
    const std::string_view before = rest_;
    skip_spaces();
    const bool parted = rest_.size() < before.size();
    const bool dash = take("-");
    if (dash) skip_spaces();
    const std::string top = take_digits();
    if (!top.empty() && (parted || dash) && take("/")) return fraction_of(top, whole);
    rest_ = before;
    return whole;
  }

  std::optional<Number> fraction_of(const std::string& top, Number whole) {
    const std::string bottom = take_digits();
    if (top.size() > 4 || bottom.size() > 4 || bottom.empty()) return {};
    whole.numerator = std::strtol(top.c_str(), nullptr, 10);
    whole.denominator = std::strtol(bottom.c_str(), nullptr, 10);
    whole.fraction = true;
    if (whole.denominator == 0) {
      reason_ = "a fraction has 0 below its line";
      return {};
    }
    return whole;
  }

  Unit take_unit() {
    static constexpr std::array<std::pair<std::string_view, Unit>, 20> kUnits{{
        {"''", Unit::inch},        {"'", Unit::foot},         {"\"", Unit::inch},  {"inches", Unit::inch},
        {"inch", Unit::inch},      {"ins", Unit::inch},       {"in.", Unit::inch}, {"in", Unit::inch},
        {"feet", Unit::foot},      {"foot", Unit::foot},      {"ft.", Unit::foot}, {"ft", Unit::foot},
        {"millimetres", Unit::mm}, {"millimeters", Unit::mm}, {"mm", Unit::mm},    {"centimetres", Unit::cm},
        {"centimeters", Unit::cm}, {"cm", Unit::cm},          {"metres", Unit::m}, {"meters", Unit::m},
    }};
    skip_spaces();
    for (const auto& [word, unit] : kUnits)
      if (take(word)) return unit;
    return take("m") ? Unit::m : Unit::none;
  }

  /// `feet` and the inches that may follow; a number without a unit behind feet is inches.
  std::optional<double> feet_and_inches(const Number& feet) {
    const auto twelve = value(feet, Unit::foot);
    if (!twelve) return {};
    double inches = *twelve * 12;
    skip_spaces();
    const bool more_follows = take("-");
    skip_spaces();
    if (more_follows || !rest_.empty()) {
      const auto more = number();
      if (!more) return {};
      const Unit unit = take_unit();
      if (unit != Unit::inch && unit != Unit::none) return {};
      const auto part = value(*more, Unit::inch);
      if (!part) return {};
      if (*part >= 12) {  // 1'150 is a thousand and more to some
        reason_ = "inches behind feet stay below 12";
        return {};
      }
      inches += *part;
    }
    return inches * 254 / 10;  // one rounding: multiples of 1/64 in times 254 are exact
  }

  std::optional<double> in_mm(const Number& number, Unit unit) {
    if (unit == Unit::inch) {
      const auto inches = value(number, unit);
      if (!inches) return {};
      return *inches * 254 / 10;
    }
    if (number.fraction) {
      reason_ = unit == Unit::none ? "a fraction needs its unit" : "fractions go with inches and feet";
      return {};
    }
    return value(number, unit);
  }

  /// The number in its own unit, metric ones in mm. The power of ten is part of the numeral, so 1.15 m is 1150 exactly.
  std::optional<double> value(const Number& number, Unit unit) {
    // "1,150 m" can only be 1.15 m: a kilometre and more is no garden length.
    if (number.maybe_thousands && unit != Unit::m) {
      reason_ = "the comma may part thousands or decimals";
      return {};
    }
    const std::string numeral = number.digits + (unit == Unit::m ? "e3" : unit == Unit::cm ? "e1" : "");
    double out = 0;
    const auto [end, error] = std::from_chars(numeral.data(), numeral.data() + numeral.size(), out);
    if (error != std::errc() || end != numeral.data() + numeral.size()) return {};
    return out + static_cast<double>(number.numerator) / static_cast<double>(number.denominator);
  }

  std::string_view rest_;
  std::string reason_;
};

constexpr const char* kHowToWrite = "write it like 1150, 1.15 m or 3 ft 9 1/4 in";

Result<Reading> read_length(std::string_view text) {
  const auto refuse = [&](const std::string& reason) {
    return fail("bad-length", quoted(text) + " is not a length" + (reason.empty() ? "" : ": " + reason), kHowToWrite);
  };
  if (text.size() > kLongestText) return refuse("too long a text");
  const std::string clean = plain(text);
  Reader reader(clean);
  const auto reading = reader.read();
  if (!reading) return refuse(reader.reason());
  if (!(std::abs(reading->mm) <= kLongest))
    return fail("bad-length", quoted(text) + " is more than 1 km", "lengths go up to 1000 m");
  return *reading;
}

// ---- printing -------------------------------------------------------------------------------------------------------

int step_of(const LengthStyle& style) {
  for (int fine : {2, 4, 8, 16, 32, 64})
    if (style.fraction == fine) return fine;
  return LengthStyle{}.fraction;
}

/// A length as a whole number of the style's steps (tenths of a mm, or parts of an inch), half away from zero.
double steps(double mm, const LengthStyle& style) {
  return style.units == Units::mm ? std::round(mm * 10) : std::round(mm * (10 * step_of(style)) / 254);
}

constexpr double kMostSteps = 9e15;  // whole numbers in a double up to here

std::string format_millimetres(double tenths, bool symbol) {
  const auto whole = static_cast<long long>(std::abs(tenths));
  std::string text = fmt::format("{}{}", tenths < 0 ? "-" : "", whole / 10);
  if (whole % 10 != 0) text += fmt::format(".{}", whole % 10);
  return symbol ? text + " mm" : text;
}

std::string format_feet_inches(double parts, int step) {
  const auto whole = static_cast<long long>(std::abs(parts));
  const long long feet = whole / (12LL * step);
  const long long inches = whole / step % 12;
  long long top = whole % step, bottom = step;
  while (top != 0 && top % 2 == 0) top /= 2, bottom /= 2;
  std::string text = parts < 0 ? "-" : "";
  if (feet > 0) text += fmt::format("{}' ", feet);
  if (top == 0) return text + fmt::format("{}\"", inches);
  if (feet > 0 || inches > 0) text += fmt::format("{} ", inches);
  return text + fmt::format("{}/{}\"", top, bottom);
}

}  // namespace

Result<double> parse_length(std::string_view text) {
  const auto reading = read_length(text);
  if (!reading) return tl::make_unexpected(reading.error());
  return reading->mm;
}

Result<std::pair<double, double>> parse_section_size(std::string_view text) {
  const auto refuse = [&] {
    return fail("bad-length", quoted(text) + " is not a section size", "write it like 45 x 95 or 1 1/2 in x 3 1/2 in");
  };
  if (text.size() > 2 * kLongestText) return refuse();
  const std::string clean = plain(text);
  const auto cross = clean.find('x');
  if (cross == std::string::npos || clean.find('x', cross + 1) != std::string::npos) return refuse();
  const auto second = read_length(std::string_view(clean).substr(cross + 1));
  if (!second) return refuse();
  std::string first = clean.substr(0, cross);
  const bool has_unit = first.find_first_of("'\"abcdefghijklmnopqrstuvwxyz") != std::string::npos;
  if (!has_unit) {
    if (second->unit == Unit::inch || second->unit == Unit::foot) first += " in";
    if (second->unit == Unit::cm) first += " cm";
    if (second->unit == Unit::m) first += " m";
  }
  const auto first_read = read_length(first);
  if (!first_read) return refuse();
  return std::pair{first_read->mm, second->mm};
}

std::string format_length(double mm, LengthStyle style) {
  const double count = steps(mm, style);
  if (!(std::abs(count) < kMostSteps)) return "no length";
  return style.units == Units::mm ? format_millimetres(count, style.symbol) : format_feet_inches(count, step_of(style));
}

double printed_value(double mm, LengthStyle style) {
  const double count = steps(mm, style);
  if (style.units == Units::mm) return count / 10;
  return count / step_of(style) * 254 / 10;
}

}  // namespace garthwright
