// SPDX-License-Identifier: Apache-2.0
#include "strength/climbers.h"

#include <array>

namespace garthwright::strength::climbers {
namespace {

// clang-format off
constexpr std::array kWeights = {
    //                                    h  stem wood total 2m  1m narrow class
    Weight{"Actinidia arguta",            8, 15, 180, 290, 11, 14, 13, 2},
    Weight{"Actinidia deliciosa",        10, 20, 310, 520, 15, 19, 18, 3},
    Weight{"Actinidia kolomikta",         4,  3,  10,  40,  5,  4,  4, 1},
    Weight{"Akebia quinata",              8,  5,  60, 150,  7,  7,  7, 2},
    Weight{"Akebia trifoliata",           6,  5,  40, 100,  7,  6,  7, 2},
    Weight{"Aristolochia macrophylla",   10, 10, 150, 280,  8, 10,  9, 2},
    Weight{"Aristolochia tomentosa",      6,  5,  40, 100,  6,  6,  6, 2},
    Weight{"Celastrus orbiculatus",      14, 16, 350, 600, 11, 15, 13, 4},
    Weight{"Celastrus scandens",         10, 10, 150, 290,  8, 10, 10, 2},
    Weight{"Clematis hybrids large",      6,  3,  20,  80,  5,  5,  5, 1},
    Weight{"Clematis alpina",             3,  3,  10,  30,  5,  5,  4, 1},
    Weight{"Clematis macropetala",        4,  5,  30,  60,  6,  7,  6, 1},
    Weight{"Clematis montana",           10,  5,  70, 200,  6,  6,  7, 2},
    Weight{"Campsis radicans",           10,  0, 310, 440,  0,  0,  0, 0},
};
constexpr std::array kClimbers = {
    //                         kg/m² years m² summer winter
    Climber{"clematis",          5, 3,  3, 0.70, 0.30},
    Climber{"honeysuckle",      10, 4,  6, 0.85, 0.50},
    Climber{"climbing_rose",    12, 4,  5, 0.65, 0.30},
    Climber{"grape_vine",       12, 4,  8, 0.80, 0.35},
    Climber{"ivy",              15, 6, 10, 0.95, 0.95},
    Climber{"virginia_creeper", 10, 4, 10, 0.90, 0.30},
    Climber{"wisteria",         20, 7, 12, 0.85, 0.40},
    Climber{"hops_or_annual",    4, 1,  3, 0.80, 0.10},
    Climber{"jasmine",           8, 4,  4, 0.85, 0.60},
};
constexpr std::array kHeights = {
    Height{"ivy", 30, 30},           Height{"climbing_hydrangea", 4, 8}, Height{"virginia_creeper", 20, 20},
    Height{"wisteria", 6, 10},       Height{"honeysuckle", 10, 10},      Height{"winter_jasmine", 2, 5},
    Height{"climbing_rose", 3, 4},   Height{"hop", 10, 10},
};
// clang-format on

template <class Row, std::size_t N>
std::optional<Row> find(const std::array<Row, N>& rows, std::string_view name, std::string_view Row::*field) {
  for (const Row& row : rows)
    if (row.*field == name) return row;
  return std::nullopt;
}

}  // namespace

std::span<const Weight> weights() { return kWeights; }
std::optional<Weight> weight(std::string_view species) { return find(kWeights, species, &Weight::species); }
std::span<const Climber> climbers() { return kClimbers; }
std::optional<Climber> climber(std::string_view kind) { return find(kClimbers, kind, &Climber::kind); }
std::optional<Height> height(std::string_view kind) { return find(kHeights, kind, &Height::kind); }

}  // namespace garthwright::strength::climbers
