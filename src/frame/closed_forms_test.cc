// SPDX-License-Identifier: Apache-2.0
// Frames whose answer a textbook gives. Formulas: Timoshenko & Gere, Mechanics of Materials, app. G; Kleinlogel, Rigid
// Frame Formulas, for the portal. Members are made nearly inextensible where the formula leaves stretching out.
#include <gtest/gtest.h>

#include "frame/along.h"
#include "frame/frames_for_tests.h"

namespace garthwright::frame {
namespace {

using namespace testing;

constexpr double kClose = 1e-9;

void expect_near(double expected, double actual, double relative = kClose) {
  EXPECT_NEAR(expected, actual, relative * std::max(std::abs(expected), 1e-9));
}

TEST(ClosedForms, CantileverUnderTipLoad) {
  Frame frame = straight(1200, 1, 45, 95);
  frame.supports = {{0, kFixed}};
  frame.loads.on_nodes = {{1, {0, 0, -500}, {}}};
  const Solution s = solve(frame).value();
  const double ei = kE * frame.members[0].iz_mm4;
  expect_near(-500 * std::pow(1200, 3) / (3 * ei), s.displacements[1].translation_mm[2]);
  expect_near(500 * 1200.0 * 1200 / (2 * ei), s.displacements[1].rotation_rad[1]);
  expect_near(500, s.reactions[0].force_n[2]);
  expect_near(-500 * 1200.0, s.reactions[0].moment_nmm[1]);
  // local y is up: the member pushes its first end down, so the node lifts it, and bends it with +M about local z = -y.
  expect_near(500, s.members[0].end[0].force_n[1]);
  expect_near(500 * 1200.0, s.members[0].end[0].moment_nmm[2]);
  expect_near(-500, s.members[0].end[1].force_n[1]);
}

TEST(ClosedForms, WeakWayIsIyAcrossUp) {
  Frame frame = straight(1200, 1, 45, 95);
  frame.supports = {{0, kFixed}};
  frame.loads.on_nodes = {{1, {0, 500, 0}, {}}};
  const Solution s = solve(frame).value();
  expect_near(500 * std::pow(1200, 3) / (3 * kE * frame.members[0].iy_mm4), s.displacements[1].translation_mm[1]);
}

TEST(ClosedForms, SimpleBeamUnderUniformLoad) {
  Frame frame = straight(3000, 1, 45, 145);
  frame.supports = {{0, kHinge}, {1, kRoller}};
  frame.loads.on_members = {{0, {0, 0, -0.9}}};
  const Solution s = solve(frame).value();
  const double ei = kE * frame.members[0].iz_mm4;
  expect_near(1350, s.reactions[0].force_n[2]);
  expect_near(1350, s.reactions[1].force_n[2]);
  expect_near(5 * -0.9 * std::pow(3000, 4) / (384 * ei), shift_along(frame.members[0], s.members[0], 1500)[1]);
  expect_near(5 * -0.9 * std::pow(3000, 4) / (384 * ei), greatest_sag(frame.members[0], s.members[0]).y_mm);
  const std::vector<double> places = places_of_greatest_moment(s.members[0]);
  ASSERT_EQ(3u, places.size());
  expect_near(1500, places[1]);
  expect_near(0.9 * 3000 * 3000 / 8, forces_along(s.members[0], 1500).moment_z_nmm);
  EXPECT_NEAR(0, forces_along(s.members[0], 1500).shear_y_n, 1e-9);
  EXPECT_NEAR(0, forces_along(s.members[0], 3000).moment_z_nmm, 1e-6);
}

TEST(ClosedForms, HeldBeamUnderUniformLoad) {
  Frame frame = straight(3000, 1, 45, 145);
  frame.supports = {{0, kFixed}, {1, kFixed}};
  frame.loads.on_members = {{0, {0, 0, -0.9}}};
  const Solution s = solve(frame).value();
  expect_near(0.9 * 3000 * 3000 / 12, s.members[0].end[0].moment_nmm[2]);
  expect_near(-0.9 * std::pow(3000, 4) / (384 * kE * frame.members[0].iz_mm4),
              shift_along(frame.members[0], s.members[0], 1500)[1]);
}

TEST(ClosedForms, ProppedCantilever) {
  Frame frame = straight(3000, 1, 45, 145);
  frame.supports = {{0, kFixed}, {1, kRoller}};
  frame.loads.on_members = {{0, {0, 0, -0.9}}};
  const Solution s = solve(frame).value();
  expect_near(5.0 / 8 * 0.9 * 3000, s.reactions[0].force_n[2]);
  expect_near(3.0 / 8 * 0.9 * 3000, s.reactions[1].force_n[2]);
  expect_near(0.9 * 3000 * 3000 / 8, s.members[0].end[0].moment_nmm[2]);
}

TEST(ClosedForms, ReleaseAtTheEndMakesTheProppedCantileverToo) {
  Frame frame = straight(3000, 1, 45, 145);
  frame.supports = {{0, kFixed}, {1, kFixed}};
  frame.members[0].joint[1][5] = 0;
  frame.loads.on_members = {{0, {0, 0, -0.9}}};
  const Solution s = solve(frame).value();
  expect_near(0.9 * 3000 * 3000 / 8, s.members[0].end[0].moment_nmm[2]);
  EXPECT_EQ(0, s.members[0].end[1].moment_nmm[2]);
  expect_near(3.0 / 8 * 0.9 * 3000, s.reactions[1].force_n[2]);
  // The released end turns by q L³ / 48 EI though its node does not.
  expect_near(0.9 * std::pow(3000, 3) / (48 * kE * frame.members[0].iz_mm4), s.members[0].motion[1].rotation_rad[2]);
}

TEST(ClosedForms, SpringAtTheFootOfAPost) {
  Frame frame = straight(2400, 1, 95, 95);
  const double spring = 1e8;
  frame.supports = {{0, {kRigid, kRigid, kRigid, kRigid, spring, kRigid}}};
  frame.loads.on_nodes = {{1, {0, 0, -500}, {}}};
  const Solution s = solve(frame).value();
  const double ei = kE * frame.members[0].iz_mm4;
  expect_near(-500 * std::pow(2400, 3) / (3 * ei) - 500 * 2400.0 * 2400 / spring, s.displacements[1].translation_mm[2]);
  expect_near(-500 * 2400.0, s.reactions[0].moment_nmm[1]);
}

TEST(ClosedForms, SpringInTheJointIsTheSameAsInTheSupport) {
  Frame frame = straight(2400, 1, 95, 95);
  frame.members[0].joint[0][5] = 1e8;
  frame.supports = {{0, kFixed}};
  frame.loads.on_nodes = {{1, {0, 0, -500}, {}}};
  const Solution s = solve(frame).value();
  const double ei = kE * frame.members[0].iz_mm4;
  expect_near(-500 * std::pow(2400, 3) / (3 * ei) - 500 * 2400.0 * 2400 / 1e8, s.displacements[1].translation_mm[2]);
  expect_near(-500 * 2400.0 / 1e8, s.members[0].motion[0].rotation_rad[2]);
}

TEST(ClosedForms, SpringsOfEverySizeActInSeries) {
  for (double spring : {1e-3, 1.0, 1e3, 1e6, 1e9, 1e12, 1e15}) {
    Frame frame = straight(1000, 1, 45, 45);
    frame.members[0].joint[0][0] = spring;
    frame.supports = {{0, kFixed}};
    frame.loads.on_nodes = {{1, {100, 0, 0}, {}}};
    const double bar_gives = 1000 / (kE * frame.members[0].area_mm2);
    // The softest is 1e-8 of the bar: what is left of the bar's stiffness then has lost half its digits.
    expect_near(100 * (1 / spring + bar_gives), solve(frame).value().displacements[1].translation_mm[0],
                spring < 1 ? 1e-8 : kClose);
  }
}

TEST(ClosedForms, SettlingSpringUnderATwoSpanBeam) {
  Frame frame = straight(4000, 2, 45, 145);
  const double spring = 200, q = 0.5, l = 4000;
  frame.supports = {{0, kHinge}, {1, {0, kRigid, spring, kRigid, 0, kRigid}}, {2, kRoller}};
  frame.loads.on_members = {{0, {0, 0, -q}}, {1, {0, 0, -q}}};
  const Solution s = solve(frame).value();
  const double ei = kE * frame.members[0].iz_mm4;
  // The simple beam's sag, less what the spring's force lifts: R/k = 5qL⁴/384EI - RL³/48EI.
  const double r = 5 * q * std::pow(l, 4) / (384 * ei) / (1 / spring + std::pow(l, 3) / (48 * ei));
  expect_near(r, s.reactions[1].force_n[2]);
  expect_near(-r / spring, s.displacements[1].translation_mm[2]);
}

TEST(ClosedForms, TorsionOfACrankedArm) {
  Frame frame;
  frame.nodes = {{"foot", {0, 0, 0}}, {"knee", {1000, 0, 0}}, {"tip", {1000, 600, 0}}};
  frame.members = {bar("shaft", 0, 1, 60, 40), bar("arm", 1, 2, 60, 40)};
  frame.supports = {{0, kFixed}};
  frame.loads.on_nodes = {{2, {0, 0, -200}, {}}};
  const Solution s = solve(frame).value();
  const Member& m = frame.members[0];
  const double twist = -200 * 600.0 * 1000 / (kG * m.j_mm4);
  expect_near(twist, s.displacements[1].rotation_rad[0]);
  expect_near(200 * 600.0, s.members[0].end[0].moment_nmm[0]);
  expect_near(
      -200 * std::pow(1000, 3) / (3 * kE * m.iz_mm4) - 200 * std::pow(600, 3) / (3 * kE * m.iz_mm4) + twist * 600,
      s.displacements[2].translation_mm[2]);
}

Frame portal(bool fixed_feet, double h, double l, double i_column, double i_beam) {
  Frame frame;
  frame.nodes = {{"A", {0, 0, 0}}, {"B", {0, 0, h}}, {"C", {l, 0, h}}, {"D", {l, 0, 0}}};
  frame.members = {bar("AB", 0, 1, 95, 95, {1, 0, 0}), bar("BC", 1, 2, 45, 145), bar("CD", 2, 3, 95, 95, {1, 0, 0})};
  for (Member& m : frame.members) {
    m.area_mm2 = 1e9;
    m.iz_mm4 = i_column;
  }
  frame.members[1].iz_mm4 = i_beam;
  const Vec6 foot = fixed_feet ? kFixed : kHinge;
  frame.supports = {{0, foot}, {3, foot}};
  frame.loads.on_nodes = {{1, {1000, 0, 0}, {}}};
  return frame;
}

TEST(ClosedForms, PortalOnHinges) {
  const double h = 2400, l = 3000, ic = 6787552, ib = 11432340;
  const Solution s = solve(portal(false, h, l, ic, ib)).value();
  expect_near(1000 * h * h * h / (6 * kE * ic) + 1000 * h * h * l / (12 * kE * ib),
              s.displacements[1].translation_mm[0], 1e-5);
  expect_near(800, std::abs(s.reactions[0].force_n[2]), 1e-5);
  expect_near(1000 * h / 2, std::abs(s.members[0].end[1].moment_nmm[2]), 1e-5);
}

TEST(ClosedForms, PortalOnFixedFeet) {
  const double h = 2400, l = 3000, ic = 6787552, ib = 11432340, k = ib / ic * h / l;
  const Solution s = solve(portal(true, h, l, ic, ib)).value();
  expect_near(1000 * h * h * h * (3 * k + 2) / (12 * kE * ic * (6 * k + 1)), s.displacements[1].translation_mm[0],
              1e-5);
  expect_near(1000 * h / 2 * (3 * k + 1) / (6 * k + 1), std::abs(s.members[0].end[0].moment_nmm[2]), 1e-5);
  expect_near(1000 * h / 2 * 3 * k / (6 * k + 1), std::abs(s.members[0].end[1].moment_nmm[2]), 1e-5);
}

TEST(ClosedForms, SkewedUpTurnsTheSection) {
  // A load at angle a to the strong way bends both ways: u = P L³/3E (cos a / Iz along y, sin a / Iy along z).
  for (double degrees : {0.0, 17.0, 45.0, 90.0, 123.0, 200.0}) {
    const double a = degrees * M_PI / 180;
    Frame frame = straight(1500, 1, 30, 90);
    frame.members[0].up = {0.7, std::sin(a), std::cos(a)};  // the part along x must not matter
    frame.supports = {{0, kFixed}};
    frame.loads.on_nodes = {{1, {0, 0, -300}, {}}};
    const Solution s = solve(frame).value();
    const double l3 = std::pow(1500, 3) / (3 * kE), iz = frame.members[0].iz_mm4, iy = frame.members[0].iy_mm4;
    // local y = (0, sin a, cos a), z = x × y = (0, -cos a, sin a)
    const double along_y = -300 * std::cos(a) * l3 / iz, along_z = -300 * std::sin(a) * l3 / iy;
    EXPECT_NEAR(along_y * std::sin(a) - along_z * std::cos(a), s.displacements[1].translation_mm[1], 1e-8);
    EXPECT_NEAR(along_y * std::cos(a) + along_z * std::sin(a), s.displacements[1].translation_mm[2], 1e-8);
  }
}

TEST(ClosedForms, PinnedTripodCarriesByAxialForceAlone) {
  Frame frame;
  frame.nodes = {{"top", {0, 0, 2000}}};
  for (int leg = 0; leg < 3; ++leg) {
    const double a = leg * 2 * M_PI / 3;
    frame.nodes.push_back({fmt::format("foot{}", leg), {1000 * std::cos(a), 1000 * std::sin(a), 0}});
    Member m = bar(fmt::format("leg{}", leg), 0, leg + 1, 45, 45, {-std::sin(a), std::cos(a), 0});
    m.joint = {Vec6{kRigid, kRigid, kRigid, 0, 0, 0}, Vec6{kRigid, kRigid, kRigid, 0, 0, 0}};
    frame.members.push_back(m);
    frame.supports.push_back({static_cast<NodeIndex>(leg + 1), kPinned});
  }
  frame.loads.on_nodes = {{0, {0, 0, -900}, {}}};
  const Solution s = solve(frame).value();
  const double length = std::sqrt(5.0) * 1000, force = 300 * length / 2000;
  for (int leg = 0; leg < 3; ++leg) expect_near(force, s.members[leg].end[0].force_n[0]);
  // δ = Σ N n L / EA, n the force under a unit load
  expect_near(-3 * force * (force / 900) * length / (kE * 45 * 45), s.displacements[0].translation_mm[2]);
}

TEST(ClosedForms, SprungSupportReportsItsOwnReaction) {
  Frame frame = straight(1000, 1, 45, 45);
  frame.supports = {{0, {20, 30, 40, 1e5, 2e5, 3e5}}};
  frame.loads.on_nodes = {{0, {10, 20, 30}, {400, 500, 600}}};
  const Solution s = solve(frame).value();
  for (int i = 0; i < 3; ++i) {
    expect_near(-10.0 * (i + 1), s.reactions[0].force_n[i]);
    expect_near(-100.0 * (i + 4), s.reactions[0].moment_nmm[i]);
  }
  expect_near(0.5, s.displacements[0].translation_mm[0]);
}

TEST(ClosedForms, OneFactorisationServesManyCases) {
  Frame frame = straight(2000, 4, 45, 95);
  frame.supports = {{0, kFixed}};
  const Solver solver = Solver::make(frame).value();
  double sum = 0;
  for (double p : {100.0, 200.0}) {
    const Loads loads{{{4, {0, 0, -p}, {}}}, {}};
    sum += solver.solve(loads).value().displacements[4].translation_mm[2];
  }
  expect_near(-300 * std::pow(2000, 3) / (3 * kE * frame.members[0].iz_mm4), sum, 1e-8);
}

}  // namespace
}  // namespace garthwright::frame
