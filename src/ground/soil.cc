// SPDX-License-Identifier: Apache-2.0
#include "ground/soil.h"

#include <numbers>

namespace garthwright::ground {
namespace {

// clang-format off
constexpr std::array kPresumptive = {
    Presumptive{1, "crystalline bedrock", 12000, 1200, 0.70, 0},
    Presumptive{2, "sedimentary and foliated rock", 4000, 400, 0.35, 0},
    Presumptive{3, "sandy gravel, gravel", 3000, 200, 0.35, 0},
    Presumptive{4, "sand, silty or clayey sand, silty or clayey gravel", 2000, 150, 0.25, 0},
    Presumptive{5, "clay, sandy clay, silty clay, clayey silt, silt, sandy silt", 1500, 100, 0, 130},
};
constexpr std::array kGranular = {
    Granular{"loose_sand", 17, 28}, Granular{"medium_sand", 18, 32}, Granular{"dense_sand", 20, 36},
    Granular{"gravel", 20, 36},     Granular{"topsoil_or_fill", 15, 25},
};
constexpr std::array kPlain = {
    //         name            class cohesive gamma phi  cu
    PlainSoil{"gravel",            3, false, 20, 36, 0},
    PlainSoil{"dense sand",        4, false, 20, 36, 0},
    PlainSoil{"sand",              4, false, 18, 32, 0},
    PlainSoil{"loose sand",        4, false, 17, 28, 0},
    PlainSoil{"stiff clay",        5, true,  19, 0, 75},
    PlainSoil{"firm clay",         5, true,  18, 0, 40},
    PlainSoil{"soft clay",         0, true,  17, 0, 20},
    PlainSoil{"made ground",       0, false, 15, 25, 0},
    PlainSoil{"peat",              0, true,  11, 0, 0},
};
constexpr std::array kFrost = {
    FrostDepth{"uk", 450}, FrostDepth{"germany", 800}, FrostDepth{"ontario", 1200},
    FrostDepth{"massachusetts", 1219}, FrostDepth{"irc_minimum", 305},
};
// clang-format on

template <class Row, std::size_t N>
std::optional<Row> find(const std::array<Row, N>& rows, std::string_view name) {
  for (const Row& row : rows)
    if (row.name == name) return row;
  return std::nullopt;
}

}  // namespace

std::span<const Presumptive> presumptive_values() { return kPresumptive; }

std::optional<Presumptive> presumptive(int material_class) {
  for (const Presumptive& p : kPresumptive)
    if (p.material_class == material_class) return p;
  return std::nullopt;
}

Range undrained_strength(Consistency consistency) {
  constexpr std::array<Range, 5> kCu = {{{0, 20}, {20, 40}, {40, 75}, {75, 150}, {150, 300}}};
  return kCu[static_cast<int>(consistency)];
}

std::string_view how_it_feels(Consistency consistency) {
  constexpr std::array<std::string_view, 5> kFeel = {
      "oozes between the fingers of a fist", "moulded by light finger pressure", "moulded by strong finger pressure",
      "a thumb leaves a dent", "a thumbnail leaves a dent"};
  return kFeel[static_cast<int>(consistency)];
}

std::span<const Granular> granular_soils() { return kGranular; }
std::optional<Granular> granular(std::string_view name) { return find(kGranular, name); }
std::span<const PlainSoil> plain_soils() { return kPlain; }
std::optional<PlainSoil> plain_soil(std::string_view name) { return find(kPlain, name); }
std::span<const FrostDepth> frost_depths() { return kFrost; }

std::optional<double> frost_depth(std::string_view place) {
  for (const FrostDepth& f : kFrost)
    if (f.place == place) return f.mm;
  return std::nullopt;
}

double bearing_pressure(double n_kn, double d) { return n_kn / (std::numbers::pi / 4 * d * d); }

}  // namespace garthwright::ground
