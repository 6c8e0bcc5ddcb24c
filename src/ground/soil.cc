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
constexpr std::array<Range, 5> kCu = {{{0, 20}, {20, 40}, {40, 75}, {75, 150}, {150, 300}}};
constexpr PlainSoil like(std::string_view name, int material_class, std::string_view granular) {
  for (const Granular& g : kGranular)
    if (g.name == granular) return {name, material_class, false, g.gamma_kn_m3, g.phi_deg, 0};
  throw "no granular soil of this name";
}
/// Clay as weak as its name allows.
constexpr PlainSoil clay(std::string_view name, int material_class, double gamma_kn_m3, Consistency consistency) {
  return {name, material_class, true, gamma_kn_m3, 0, kCu[static_cast<std::size_t>(consistency)].from};
}
constexpr std::array kPlain = {
    like("gravel", 3, "gravel"),
    like("dense sand", 4, "dense_sand"),
    like("sand", 4, "medium_sand"),
    like("loose sand", 4, "loose_sand"),
    clay("stiff clay", 5, 19, Consistency::stiff),
    clay("firm clay", 5, 18, Consistency::firm),
    clay("soft clay", 0, 17, Consistency::soft),
    like("made ground", 0, "topsoil_or_fill"),
    PlainSoil{"peat", 0, true, 11, 0, 0},
};
// clang-format on

template <class Row, std::size_t N>
std::optional<Row> find(const std::array<Row, N>& rows, std::string_view name) {
  for (const Row& row : rows)
    if (row.name == name) return row;
  return std::nullopt;
}

}  // namespace

std::optional<Presumptive> presumptive(int material_class) {
  for (const Presumptive& p : kPresumptive)
    if (p.material_class == material_class) return p;
  return std::nullopt;
}

Range undrained_strength(Consistency consistency) { return kCu[static_cast<std::size_t>(consistency)]; }

std::optional<Granular> granular(std::string_view name) { return find(kGranular, name); }
std::span<const PlainSoil> plain_soils() { return kPlain; }
std::optional<PlainSoil> plain_soil(std::string_view name) { return find(kPlain, name); }

bool is_clay(std::string_view name) {
  const auto soil = plain_soil(name);
  return soil && soil->cu_kpa > 0;
}

double undrained_bearing(double cu, double beside) {
  constexpr double kRoundOrSquare = 1.2;
  return (std::numbers::pi + 2) * cu * kRoundOrSquare + beside;
}

double bearing_pressure(double n_kn, double d) { return n_kn / (std::numbers::pi / 4 * d * d); }

}  // namespace garthwright::ground
