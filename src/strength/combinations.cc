// SPDX-License-Identifier: Apache-2.0
#include "strength/combinations.h"

#include <array>
#include <cassert>

namespace garthwright::strength::combinations {
namespace {

constexpr double kSnow0 = snow_psi(0).psi0, kWind0 = kWindPsi.psi0;

// With a person there is no wind: nobody hangs from it in a storm (our own).
// clang-format off
constexpr std::array kUltimate = {
    Combination{.name = "permanent", .clause = "EN 1990 (6.10)", .dead = kStr.g_unfavourable, .plant = kStr.g_unfavourable, .soil = kStr.g_unfavourable},
    Combination{.name = "snow leads", .clause = "EN 1990 (6.10)", .dead = kStr.g_unfavourable, .plant = kStr.g_unfavourable, .snow = kStr.q, .wind = kStr.q * kWind0, .soil = kStr.g_unfavourable},
    Combination{.name = "wind leads", .clause = "EN 1990 (6.10)", .dead = kStr.g_unfavourable, .plant = kStr.g_unfavourable, .snow = kStr.q * kSnow0, .wind = kStr.q, .soil = kStr.g_unfavourable},
    Combination{.name = "uplift", .clause = "EN 1990 (6.10), Table A1.2(B)", .dead = kStr.g_favourable, .wind = kStr.q, .lift = kStr.q, .soil = kStr.g_unfavourable},
    Combination{.name = "person", .clause = "EN 1990 (6.10)", .dead = kStr.g_unfavourable, .plant = kStr.g_unfavourable, .snow = kStr.q * kSnow0, .person = kStr.q, .soil = kStr.g_unfavourable},
    Combination{.name = "roof live", .clause = "EN 1990 (6.10), EN 1991-1-1 3.3.2", .dead = kStr.g_unfavourable, .plant = kStr.g_unfavourable, .live = kStr.q, .soil = kStr.g_unfavourable},
};
constexpr std::array kEquilibrium = {
    Combination{.name = "uplift, equilibrium", .clause = "EN 1990 (6.10), Table A1.2(A)", .dead = kEqu.g_favourable, .wind = kEqu.q, .lift = kEqu.q, .soil = kEqu.g_unfavourable},
};
constexpr std::array kService = {
    Combination{.name = "permanent", .clause = "EN 1990 (6.14b)", .dead = 1, .plant = 1},
    Combination{.name = "snow leads", .clause = "EN 1990 (6.14b)", .dead = 1, .plant = 1, .snow = 1, .wind = kWind0},
    Combination{.name = "wind leads", .clause = "EN 1990 (6.14b)", .dead = 1, .plant = 1, .snow = kSnow0, .wind = 1},
    Combination{.name = "person", .clause = "EN 1990 (6.14b)", .dead = 1, .plant = 1, .person = 1},
};
constexpr std::array kAsd = {
    Combination{.name = "1", .clause = "ASCE 7-16 2.4.1", .dead = 1, .plant = 1},
    Combination{.name = "3 roof live", .clause = "ASCE 7-16 2.4.1", .dead = 1, .plant = 1, .live = 1},
    Combination{.name = "3 snow", .clause = "ASCE 7-16 2.4.1", .dead = 1, .plant = 1, .snow = 1},
    Combination{.name = "5", .clause = "ASCE 7-16 2.4.1", .dead = 1, .plant = 1, .wind = 0.6},
    Combination{.name = "6 roof live", .clause = "ASCE 7-16 2.4.1", .dead = 1, .plant = 1, .wind = 0.75 * 0.6, .live = 0.75},
    Combination{.name = "6 snow", .clause = "ASCE 7-16 2.4.1", .dead = 1, .plant = 1, .snow = 0.75, .wind = 0.75 * 0.6},
    Combination{.name = "7", .clause = "ASCE 7-16 2.4.1", .dead = 0.6, .wind = 0.6, .lift = 0.6},
    Combination{.name = "person", .clause = "ASCE 7-16 2.4.1, load of our own", .dead = 1, .plant = 1, .person = 1},
};
constexpr std::array kAsdEquilibrium = {
    Combination{.name = "7", .clause = "ASCE 7-16 2.4.1", .dead = 0.6, .wind = 0.6, .lift = 0.6},
};
constexpr std::array kLrfdList = {
    Combination{.name = "1", .clause = "ASCE 7-16 2.3.1", .dead = 1.4, .plant = 1.4, .soil = 1.6},
    Combination{.name = "3 roof live", .clause = "ASCE 7-16 2.3.1", .dead = 1.2, .plant = 1.2, .wind = 0.5, .live = 1.6, .soil = 1.6},
    Combination{.name = "3 snow", .clause = "ASCE 7-16 2.3.1", .dead = 1.2, .plant = 1.2, .snow = 1.6, .wind = 0.5, .soil = 1.6},
    Combination{.name = "4 roof live", .clause = "ASCE 7-16 2.3.1", .dead = 1.2, .plant = 1.2, .wind = 1.0, .live = 0.5, .soil = 1.6},
    Combination{.name = "4 snow", .clause = "ASCE 7-16 2.3.1", .dead = 1.2, .plant = 1.2, .snow = 0.5, .wind = 1.0, .soil = 1.6},
    Combination{.name = "5", .clause = "ASCE 7-16 2.3.1", .dead = 0.9, .wind = 1.0, .lift = 1.0, .soil = 1.6},
    Combination{.name = "person", .clause = "ASCE 7-16 2.3.1, load of our own", .dead = 1.2, .plant = 1.2, .person = 1.6, .soil = 1.6},
};
// clang-format on

}  // namespace

std::span<const Combination> en1990_ultimate() { return kUltimate; }
std::span<const Combination> en1990_equilibrium() { return kEquilibrium; }
std::span<const Combination> en1990_serviceability() { return kService; }
std::span<const Combination> asce_asd() { return kAsd; }
std::span<const Combination> asce_equilibrium() { return kAsdEquilibrium; }
std::span<const Combination> asce_lrfd() { return kLrfdList; }

const Combination& named(std::span<const Combination> list, std::string_view name) {
  for (const Combination& c : list)
    if (c.name == name) return c;
  assert(false && "no combination of this name");
  return list.front();
}

}  // namespace garthwright::strength::combinations
