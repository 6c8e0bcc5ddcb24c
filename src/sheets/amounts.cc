// SPDX-License-Identifier: Apache-2.0
#include "sheets/amounts.h"

#include <fmt/format.h>

#include <cmath>

namespace garthwright::sheets {

namespace {

constexpr double kKgPerPound = 0.45359237, kLitresPerCubicFoot = 28.316846592, kLitresPerQuart = 0.946352946;
constexpr double kNewtonsPerPound = 4.448221615, kPsi = 0.006894757;

/// "22", "22.7": no tail of noughts.
std::string short_number(double value) { return fmt::format("{:g}", std::round(value * 10) / 10); }

std::string figure(double v) {
  return std::abs(v) >= 100  ? fmt::format("{:.0f}", v)
         : std::abs(v) >= 10 ? fmt::format("{:.1f}", v)
                             : fmt::format("{:.2f}", v);
}

}  // namespace

double mass_in(Units units, double kg) { return units == Units::mm ? kg : kg / kKgPerPound; }
std::string_view mass_unit(Units units) { return units == Units::mm ? "kg" : "lb"; }

std::string mass_words(Units units, double kg, int decimals) {
  return fmt::format("{:.{}f} {}", mass_in(units, kg), decimals, mass_unit(units));
}

std::string volume_words(Units units, double litres) {
  if (litres > 0 && litres < 0.05) return units == Units::mm ? "less than 0.1 l" : "less than 0.1 qt";
  if (units == Units::mm) return fmt::format("{:.1f} l", litres);
  return litres >= 5 ? fmt::format("{:.1f} cu ft", litres / kLitresPerCubicFoot)
                     : fmt::format("{:.1f} qt", litres / kLitresPerQuart);
}

std::string bag_words(Units units, double kg) {
  return fmt::format("{} {} bag", short_number(mass_in(units, kg)), mass_unit(units));
}

std::string tin_words(Units units, double litres) {
  return units == Units::mm ? fmt::format("{:g} l tin", litres)
                            : fmt::format("{} qt tin", short_number(litres / kLitresPerQuart));
}

std::string demand_words(const Lengths& lengths, double demand, double capacity, const std::string& unit) {
  if (unit.empty()) return "";
  const bool us = lengths.style.units != Units::mm;
  if (us && unit == "mm") return fmt::format("{} of {}", lengths.exact(demand), lengths.exact(capacity));
  double factor = 1;
  std::string called = unit == "1" ? "" : " " + unit;
  if (us && unit == "kN") factor = 1000 / kNewtonsPerPound, called = " lbf";
  if (us && unit == "N/mm²") factor = 1 / kPsi, called = " psi";
  return fmt::format("{} of {}{}", figure(factor * demand), figure(factor * capacity), called);
}

}  // namespace garthwright::sheets
