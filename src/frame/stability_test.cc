// SPDX-License-Identifier: Apache-2.0
// Struts and sways with known answers. Timoshenko & Gere, Theory of Elastic Stability, 2nd ed., 2.1–2.5.
#include "frame/stability.h"

#include <gtest/gtest.h>

#include "frame/frames_for_tests.h"

namespace garthwright::frame {
namespace {

using namespace testing;

/// A strut along x, bending in x–z only, pushed with 1 N at its far end.
Frame strut(const Vec6& near_end, const Vec6& far_end) {
  Frame frame = straight(2400, 1, 95, 95);
  frame.members[0].iy_mm4 *= 100;
  frame.supports = {{0, near_end}, {1, far_end}};
  frame.loads.on_nodes = {{1, {-1, 0, 0}, {}}};
  return frame;
}

double critical(const Frame& frame) {
  const Solver solver = Solver::make(frame).value();
  return critical_load(solver, frame.loads).value().critical_factor;
}

double euler(double k) { return M_PI * M_PI * kE * 95 * 95 * 95 * 95 / 12 / std::pow(k * 2400, 2); }

TEST(Stability, EulersStruts) {
  EXPECT_NEAR(euler(1), critical(strut(kHinge, kRoller)), 0.001 * euler(1));
  EXPECT_NEAR(euler(2), critical(strut(kFixed, {0, kRigid, 0, kRigid, 0, kRigid})), 0.001 * euler(2));
  EXPECT_NEAR(euler(0.699156), critical(strut(kFixed, kRoller)), 0.003 * euler(0.7));
  EXPECT_NEAR(euler(0.5), critical(strut(kFixed, {0, kRigid, kRigid, kRigid, kRigid, kRigid})), 0.008 * euler(0.5));
}

TEST(Stability, AReleasedEndBucklesLikeAPinnedOne) {
  Frame frame = strut(kFixed, {0, kRigid, kRigid, kRigid, kRigid, kRigid});
  frame.members[0].joint[1][5] = 0;
  EXPECT_NEAR(euler(0.699156), critical(frame), 0.005 * euler(0.7));
}

TEST(Stability, TensionNeverBuckles) {
  Frame frame = strut(kHinge, kRoller);
  frame.loads.on_nodes[0].force_n = {1, 0, 0};
  EXPECT_TRUE(std::isinf(critical(frame)));
}

TEST(Stability, FinerPiecesComeCloser) {
  const Frame frame = strut(kHinge, kRoller);
  double last = 1;
  for (int pieces : {1, 2, 4, 8}) {
    Options options;
    options.pieces_per_member = pieces;
    const Solver solver = Solver::make(frame, options).value();
    const double error = critical_load(solver, frame.loads).value().critical_factor / euler(1) - 1;
    EXPECT_GE(error, -1e-9) << "cubic pieces never buckle too early";
    EXPECT_LT(error, last);
    last = error;
  }
  EXPECT_LT(last, 1e-4);
}

TEST(Stability, FlagpoleBucklesUnderItsOwnWeight) {  // q L = 7.837 EI / L²
  Frame frame = straight(2400, 4, 95, 95);
  for (Member& m : frame.members) m.iy_mm4 *= 100;
  frame.supports = {{0, kFixed}};
  for (MemberIndex m = 0; m < 4; ++m) frame.loads.on_members.push_back({m, {-1, 0, 0}});
  const double expected = 7.8373 * kE * std::pow(95, 4) / 12 / std::pow(2400, 3);
  EXPECT_NEAR(expected, critical(frame), 0.002 * expected);
}

TEST(Stability, PDeltaOfAPostSwaysByTheBeamColumnFormula) {
  // Cantilever with H and P at the top: sway = H/P (tan(kL)/k - L), k² = P/EI.
  Frame frame = straight(2400, 4, 95, 95);
  frame.supports = {{0, kFixed}};
  const double ei = kE * frame.members[0].iz_mm4, p = 0.4 * euler(2), k = std::sqrt(p / ei);
  frame.loads.on_nodes = {{4, {-p, 0, 100}, {}}};
  const Solver solver = Solver::make(frame).value();
  const Solution s = solve_p_delta(solver, frame.loads).value();
  const double sway = 100 / p * (std::tan(k * 2400) / k - 2400);
  EXPECT_NEAR(sway, s.displacements[4].translation_mm[2], 1e-4 * sway);
  EXPECT_NEAR(100 * 2400 + p * sway, s.reactions[0].moment_nmm[1] * (s.reactions[0].moment_nmm[1] < 0 ? -1 : 1),
              1e-4 * (100 * 2400 + p * sway));
}

TEST(Stability, PDeltaWithoutAxialForceIsLinear) {
  Frame frame = straight(2400, 2, 95, 95);
  frame.supports = {{0, kFixed}};
  frame.loads.on_nodes = {{2, {0, 20, 100}, {0, 3000, 0}}};
  const Solver solver = Solver::make(frame).value();
  const Solution a = solver.solve(frame.loads).value(), b = solve_p_delta(solver, frame.loads).value();
  EXPECT_NEAR(a.displacements[2].translation_mm[2], b.displacements[2].translation_mm[2], 1e-9);
}

TEST(Stability, BeyondTheCriticalLoadThereIsNoRest) {
  Frame frame = straight(2400, 2, 95, 95);
  frame.supports = {{0, kFixed}};
  frame.loads.on_nodes = {{2, {-1.2 * euler(2), 0, 100}, {}}};
  const Solver solver = Solver::make(frame).value();
  const Result<Solution> s = solve_p_delta(solver, frame.loads);
  ASSERT_FALSE(s.has_value());
  EXPECT_EQ("unstable", s.error()[0].code);
}

TEST(Stability, PortalOnHingesSwaysFirst) {
  // Both posts under P, beam infinitely stiff: each a cantilever turned over, Pcr = π² EI / (2 h)².
  Frame frame;
  frame.nodes = {{"A", {0, 0, 0}}, {"B", {0, 0, 2400}}, {"C", {3000, 0, 2400}}, {"D", {3000, 0, 0}}};
  frame.members = {bar("AB", 0, 1, 95, 95, {1, 0, 0}), bar("BC", 1, 2, 95, 95), bar("DC", 3, 2, 95, 95, {1, 0, 0})};
  for (Member& m : frame.members) m.iy_mm4 *= 100;
  frame.members[1].iz_mm4 *= 1e5;
  frame.supports = {{0, kHinge}, {3, kHinge}};
  frame.loads.on_nodes = {{1, {0, 0, -1}, {}}, {2, {0, 0, -1}, {}}};
  EXPECT_NEAR(euler(2), critical(frame), 0.002 * euler(2));
}

}  // namespace
}  // namespace garthwright::frame
