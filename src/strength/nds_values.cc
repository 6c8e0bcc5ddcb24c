// SPDX-License-Identifier: Apache-2.0
#include "strength/nds_values.h"

#include <array>

namespace garthwright::strength::nds {
namespace {

// clang-format off
constexpr std::array kValues = {
    //                                                             widths   Fb    Ft   Fv  Fc_perp Fc    E        Emin
    ReferenceValues{"Southern Pine", "No.2", Table::southern_pine_4b,  2,  4, 1100, 675, 175, 565, 1450, 1400000, 510000},
    ReferenceValues{"Southern Pine", "No.2", Table::southern_pine_4b,  5,  6, 1000, 600, 175, 565, 1400, 1400000, 510000},
    ReferenceValues{"Southern Pine", "No.2", Table::southern_pine_4b,  8,  8,  925, 550, 175, 565, 1350, 1400000, 510000},
    ReferenceValues{"Southern Pine", "No.2", Table::southern_pine_4b, 10, 10,  800, 475, 175, 565, 1300, 1400000, 510000},
    ReferenceValues{"Southern Pine", "No.2", Table::southern_pine_4b, 12, 12,  750, 450, 175, 565, 1250, 1400000, 510000},
    ReferenceValues{"Douglas Fir-Larch", "No.2", Table::dimension_4a,  2, 14,  900, 575, 180, 625, 1350, 1600000, 580000},
    ReferenceValues{"Douglas Fir-Larch", "No.1", Table::dimension_4a,  2, 14, 1000, 675, 180, 625, 1500, 1700000, 620000},
    ReferenceValues{"Spruce-Pine-Fir", "No.1/No.2", Table::dimension_4a, 2, 14, 875, 450, 135, 425, 1150, 1400000, 510000},
    ReferenceValues{"Hem-Fir", "No.2", Table::dimension_4a,            2, 14,  850, 525, 150, 405, 1300, 1300000, 470000},
    ReferenceValues{"Western Cedars", "No.2", Table::dimension_4a,     2, 14,  700, 425, 155, 425,  650, 1000000, 370000},
    ReferenceValues{"Douglas Fir-Larch", "No.1", Table::timbers_4d,    5, 99, 1200, 825, 170, 625, 1000, 1600000, 580000},
    ReferenceValues{"Douglas Fir-Larch", "No.2", Table::timbers_4d,    5, 99,  750, 475, 170, 625,  700, 1300000, 470000},
    ReferenceValues{"Southern Pine", "No.2", Table::timbers_4d,        5, 99,  850, 550, 165, 375,  525, 1200000, 440000},
};

struct Species { std::string_view name; double gravity, pcf; };
constexpr std::array kSpecies = {
    Species{"Southern Pine", 0.55, 36.7},       Species{"Douglas Fir-Larch", 0.50, 33.6},
    Species{"Spruce-Pine-Fir", 0.42, 28.5},     Species{"Hem-Fir", 0.43, 29.2},
    Species{"Western Cedars", 0.36, 24.6},      Species{"Redwood close grain", 0.44, 0},
    Species{"Redwood open grain", 0.37, 0},
};
// clang-format on

const Species* find(std::string_view name) {
  for (const Species& s : kSpecies)
    if (s.name == name) return &s;
  return nullptr;
}

/// First row whose width is not exceeded.
struct Row {
  double width, thin, thick;
};
template <std::size_t N>
double by_width(const std::array<Row, N>& rows, double width, double thickness) {
  for (const Row& r : rows)
    if (width <= r.width) return thickness >= 4 ? r.thick : r.thin;
  return thickness >= 4 ? rows.back().thick : rows.back().thin;
}

}  // namespace

std::span<const ReferenceValues> reference_values() { return kValues; }

std::optional<ReferenceValues> reference_value(std::string_view species, std::string_view grade, Table table,
                                               double width) {
  for (const ReferenceValues& v : kValues)
    if (v.species == species && v.grade == grade && v.table == table && width >= v.from_width_in &&
        width <= v.to_width_in)
      return v;
  return std::nullopt;
}

std::optional<double> specific_gravity(std::string_view species) {
  const Species* s = find(species);
  return s ? std::optional(s->gravity) : std::nullopt;
}

std::optional<double> unit_weight_pcf(std::string_view species) {
  const Species* s = find(species);
  return s && s->pcf > 0 ? std::optional(s->pcf) : std::nullopt;
}

double size_factor(Property property, double width, double thickness) {
  constexpr std::array<Row, 7> kBending = {
      {{4, 1.5, 1.5}, {5, 1.4, 1.4}, {6, 1.3, 1.3}, {8, 1.2, 1.3}, {10, 1.1, 1.2}, {12, 1.0, 1.1}, {99, 0.9, 1.0}}};
  constexpr std::array<Row, 7> kTension = {
      {{4, 1.5, 1.5}, {5, 1.4, 1.4}, {6, 1.3, 1.3}, {8, 1.2, 1.2}, {10, 1.1, 1.1}, {12, 1.0, 1.0}, {99, 0.9, 0.9}}};
  constexpr std::array<Row, 5> kCompression = {
      {{4, 1.15, 1.15}, {6, 1.1, 1.1}, {8, 1.05, 1.05}, {12, 1.0, 1.0}, {99, 0.9, 0.9}}};
  switch (property) {
    case Property::fb:
      return by_width(kBending, width, thickness);
    case Property::ft:
      return by_width(kTension, width, thickness);
    case Property::fc:
      return by_width(kCompression, width, thickness);
    default:
      return 1;
  }
}

double wet_service_factor(Property property, double value_times_cf) {
  switch (property) {
    case Property::fb:
      return value_times_cf <= 1150 ? 1 : 0.85;
    case Property::ft:
      return 1;
    case Property::fv:
      return 0.97;
    case Property::fc_perp:
      return 0.67;
    case Property::fc:
      return value_times_cf <= 750 ? 1 : 0.8;
    case Property::e:
      return 0.9;
  }
  return 1;
}

double incising_factor(Property property) {
  return property == Property::e ? 0.95 : property == Property::fc_perp ? 1 : 0.8;
}

double duration_factor(Load load) {
  constexpr std::array<double, 6> kCd = {0.9, 1.0, 1.15, 1.25, 1.6, 2.0};
  return kCd[static_cast<int>(load)];
}

double flat_use_factor(double width, double thickness) {
  constexpr std::array<Row, 5> kFlat = {
      {{3, 1.0, 1.0}, {4, 1.1, 1.0}, {5, 1.1, 1.05}, {8, 1.15, 1.05}, {99, 1.2, 1.1}}};
  return by_width(kFlat, width, thickness);
}

double lateral_wet_factor(WetUse use) { return use == WetUse::dry ? 1 : use == WetUse::wet ? 0.7 : 0.4; }

double nail_withdrawal_wet_factor(bool changes) { return changes ? 0.25 : 1; }

double ke_theory(EndHold hold) {
  constexpr std::array<double, 6> kKe = {0.5, 0.7, 1.0, 1.0, 2.0, 2.0};
  return kKe[static_cast<int>(hold)];
}

double ke_design(EndHold hold) {
  constexpr std::array<double, 6> kKe = {0.65, 0.8, 1.2, 1.0, 2.1, 2.4};
  return kKe[static_cast<int>(hold)];
}

}  // namespace garthwright::strength::nds
