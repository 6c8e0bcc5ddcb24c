// SPDX-License-Identifier: Apache-2.0
//
// The three kernels by themselves: a shelf's bracket, the timber for it, and what can be taken off first.
#include <cstdio>

#include "assembly/planner.h"
#include "cutting/cutting.h"
#include "frame/frame.h"

using namespace garthwright;

/// A cantilever of 1 m, 45 × 95 upright, with 500 N at its end: P L³ / 3 E I.
static double sag_mm() {
  frame::Frame bracket;
  bracket.nodes = {{"wall", {0, 0, 0}}, {"tip", {1000, 0, 0}}};
  const double b = 45, h = 95;
  bracket.members = {{.id = "arm",
                      .ends = {0, 1},
                      .area_mm2 = b * h,
                      .iy_mm4 = b * h * h * h / 12,
                      .iz_mm4 = h * b * b * b / 12,
                      .j_mm4 = 2e6,
                      .e_mpa = 11000,
                      .g_mpa = 690,
                      .up = {0, 1, 0}}};
  bracket.supports = {{0, frame::kAllRigid}};
  bracket.loads.on_nodes = {{1, {0, 0, -500}, {}}};
  const auto solved = frame::solve(bracket);
  return solved ? -solved->displacements[1].translation_mm[2] : 0;
}

static cutting::Result timber() {
  cutting::Problem problem;
  problem.stock = {{.length = 4800, .cost = 1290}, {.length = 3600, .cost = 989}};
  problem.pieces = {{.length = 1000, .quantity = 4}, {.length = 600, .quantity = 4}};
  problem.kerf = 3;
  problem.trim = 10;
  return cutting::solve(problem);
}

/// A board on a rail: the board leaves, the rail stays.
static std::size_t ways_off() {
  assembly::Assembly shelf;
  shelf.pieces = {{"rail", {*assembly::make_box({0, 0, 0}, {900, 90, 40})}, true},
                  {"board", {*assembly::make_box({0, 0, 40}, {900, 90, 60})}}};
  const auto removable = assembly::first_removable(shelf, assembly::axis_ways());
  return removable.empty() ? 0 : removable.front().ways.size();
}

int main() {
  const cutting::Result bought = timber();
  std::printf("the arm sags %.3f mm\n", sag_mm());
  std::printf("timber for %lld, at least %lld\n", static_cast<long long>(bought.cost),
              static_cast<long long>(bought.lower_bound));
  std::printf("the board comes off in %zu ways\n", ways_off());
}
