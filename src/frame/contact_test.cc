// SPDX-License-Identifier: Apache-2.0
// Links and contacts against statics and closed forms; and that every state of contacts is found.
#include <gtest/gtest.h>

#include <fstream>
#include <numeric>
#include <set>
#include <sstream>

#include "frame/contacts_for_tests.h"
#include "frame/frame_json.h"
#include "frame/stability.h"

namespace garthwright::frame {
namespace {

using namespace testing;

/// A beam along x held in all but the x–z plane, and one-sided bearings under the given places.
Frame on_bearings(const std::vector<double>& nodes, const std::vector<std::size_t>& bearings, double k) {
  Frame frame;
  const auto beam = timber(frame, {0, 0, 0}, {1, 0, 0}, nodes, 45, 95, {0, 0, 1});
  frame.supports.push_back({beam[0], {kRigid, kRigid, 0, kRigid, 0, kRigid}});
  for (std::size_t b : bearings) {
    frame.nodes.push_back({fmt::format("wall{}", b), frame.nodes[beam[b]].at_mm});
    frame.supports.push_back({frame.nodes.size() - 1, kFixed});
    frame.contacts.push_back(
        {fmt::format("bearing{}", b), {frame.nodes.size() - 1, beam[b]}, frame.nodes[beam[b]].at_mm, {0, 0, 1}, k, 0});
  }
  return frame;
}

void expect_proven(const Solution& s, double load, double balance = 1e-9) {
  EXPECT_GE(s.proof.least_push_n, 0);
  EXPECT_GE(s.proof.least_gap_mm, 0);
  EXPECT_EQ(0, s.proof.most_push_times_gap_nmm);
  EXPECT_LT(s.proof.out_of_balance, balance) << load;
}

// Roark's formulas, simple beam with a load in the middle: end slope P L²/16EI. The bearing beyond the load lifts.
TEST(Contact, TheFarBearingOfThreeLifts) {
  const double l = 1000, k = 5000, p = 800;
  Frame frame = on_bearings({0, l / 2, l, 2 * l}, {0, 2, 3}, k);
  const Solution s = Solver::make(frame).value().solve({{{1, {0, 0, -p}, {}}}, {}}).value();
  EXPECT_NEAR(p / 2, s.contacts[0].push_n, 1e-6 * p);
  EXPECT_NEAR(p / 2, s.contacts[1].push_n, 1e-6 * p);
  EXPECT_EQ(0, s.contacts[2].push_n);
  const double slope = p * l * l / (16 * frame.members[0].e_mpa * frame.members[0].iz_mm4);
  EXPECT_NEAR(slope * l - p / 2 / k, s.contacts[2].gap_mm, 1e-6);
  expect_proven(s, p);
}

// Three-moment equation: 5/16, 22/16, 5/16 of P under a load in the middle of both spans.
TEST(Contact, ThreeBearingsUnderTwoLoads) {
  const double l = 1000, p = 800;
  Frame frame = on_bearings({0, l / 2, l, 3 * l / 2, 2 * l}, {0, 2, 4}, 1e8);
  const Solution s = Solver::make(frame).value().solve({{{1, {0, 0, -p}, {}}, {3, {0, 0, -p}, {}}}, {}}).value();
  EXPECT_NEAR(5.0 / 16 * p, s.contacts[0].push_n, 1e-4 * p);
  EXPECT_NEAR(22.0 / 16 * p, s.contacts[1].push_n, 1e-4 * p);
  EXPECT_NEAR(5.0 / 16 * p, s.contacts[2].push_n, 1e-4 * p);
  expect_proven(s, p);
}

// A gap under the middle: it closes when the simple beam's sag P (2l)³/48EI has used it up, and no sooner.
TEST(Contact, AGapMustCloseFirst) {
  const double l = 1000, k = 1e8, gap = 3;
  Frame frame = on_bearings({0, l, 2 * l}, {0, 1, 2}, k);
  frame.contacts[1].gap_mm = gap;
  const double ei = frame.members[0].e_mpa * frame.members[0].iz_mm4, per_mm = 48 * ei / std::pow(2 * l, 3);
  const Solver solver = Solver::make(frame).value();
  Series run(solver);
  for (const double sag : {1.0, 2.9, 3.1, 10.0, 2.0}) {
    const Solution s = run.solve({{{1, {0, 0, -sag * per_mm}, {}}}, {}}).value();
    EXPECT_NEAR(std::max(0.0, (sag - gap) * per_mm), s.contacts[1].push_n, 1e-4 * per_mm) << sag;
    EXPECT_NEAR(std::max(0.0, gap - sag), s.contacts[1].gap_mm, 1e-4) << sag;
    expect_proven(s, sag * per_mm);
  }
}

// Statics alone: two bolts a apart carry a couple M as ± M/a across the line through them.
TEST(Links, ALappedJointOfTwoBoltsUnderACouple) {
  Frame frame;
  const auto a = timber(frame, {0, 0, 0}, {1, 0, 0}, {0, 500}, 45, 95, {0, 0, 1});
  const auto b = timber(frame, {500, 45, 0}, {1, 0, 0}, {0, 600}, 45, 95, {0, 0, 1});
  frame.supports.push_back({a[0], kFixed});
  for (double at : {450.0, 530.0}) frame.links.push_back({"", {a[1], b[0]}, {at, 22.5, 0}, {0, 1, 0}, 3000, 1800});
  frame.contacts.push_back({"", {a[1], b[0]}, {400, 22.5, 47.5}, {0, 1, 0}, 2000, 0});
  frame.contacts.push_back({"", {a[1], b[0]}, {400, 22.5, -47.5}, {0, 1, 0}, 2000, 0});
  frame.contacts.push_back({"", {a[1], b[0]}, {580, 22.5, 47.5}, {0, 1, 0}, 2000, 0});
  frame.contacts.push_back({"", {a[1], b[0]}, {580, 22.5, -47.5}, {0, 1, 0}, 2000, 0});
  const double m = 40000;
  const Solution s = Solver::make(frame).value().solve({{{b[1], {}, {0, m, 0}}}, {}}).value();
  // What the bolts put on the second timber turns it back: at 450 up or down, at 530 the other way.
  EXPECT_NEAR(-m / 80, s.links[0][2], 1e-6 * m / 80);
  EXPECT_NEAR(m / 80, s.links[1][2], 1e-6 * m / 80);
  expect_proven(s, m);
}

// The polar formula of a group under an eccentric force (any textbook of timber or steel joints):
// each fixing F/n and M r / Σr² square to its radius.
TEST(Links, AGroupUnderAnEccentricForceIsThePolarFormula) {
  std::mt19937 random(11);
  const auto between = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  for (int round = 0; round < 20; ++round) {
    Frame frame;
    const auto wall = timber(frame, {-300, 0, 0}, {1, 0, 0}, {0, 300}, 45, 95, {0, 0, 1});
    const auto arm = timber(frame, {0, 45, 0}, {1, 0, 0}, {0, 700}, 45, 95, {0, 0, 1});
    frame.supports.push_back({wall[0], kFixed});
    const int n = 3 + round % 5;
    Eigen::Vector3d middle = Eigen::Vector3d::Zero();
    for (int i = 0; i < n; ++i) {
      frame.links.push_back({"", {wall[1], arm[0]}, {between(-60, 60), 22.5, between(-40, 40)}, {0, 1, 0}, 4000, 1500});
      middle += vec(frame.links.back().at_mm) / n;
    }
    const Eigen::Vector3d force(between(-500, 500), 0, between(-500, 500));
    const Solution s = Solver::make(frame).value().solve({{{arm[1], arr(force), {}}}, {}}).value();
    // Only what acts in the plane of the face; the arm is 22.5 mm in front of it, which the axial springs hold.
    const Eigen::Vector3d lever = vec(frame.nodes[arm[1]].at_mm) - middle;
    const double moment = lever.cross(force)[1];
    double polar = 0;
    for (const Link& link : frame.links) {
      const Eigen::Vector3d r = vec(link.at_mm) - middle;
      polar += r[0] * r[0] + r[2] * r[2];
    }
    for (int i = 0; i < n; ++i) {
      const Eigen::Vector3d r = vec(frame.links[i].at_mm) - middle;
      const Eigen::Vector3d turn = moment / polar * Eigen::Vector3d(0, 1, 0).cross(r);
      EXPECT_NEAR(-(force / n + turn)[0], s.links[i][0], 1e-6 * force.norm() * 20);
      EXPECT_NEAR(-(force / n + turn)[2], s.links[i][2], 1e-6 * force.norm() * 20);
    }
  }
}

// A lever: pulled off at its end, held by one bolt, it bears on its heel. Bolt F (a + b)/a, heel F b/a.
TEST(Contact, ALeverPries) {
  const double a = 60, b = 400, f = 250;
  Frame frame;
  const auto lever = timber(frame, {0, 0, 0}, {1, 0, 0}, {0, a, a + b}, 45, 45, {0, 0, 1});
  frame.nodes.push_back({"base", {0, 0, -50}});
  const NodeIndex base = frame.nodes.size() - 1;
  frame.supports.push_back({base, kFixed});
  frame.supports.push_back({lever[0], {kRigid, kRigid, 0, kRigid, 0, kRigid}});
  frame.links.push_back({"bolt", {base, lever[1]}, {a, 0, 0}, {0, 0, 1}, 2500, 900});
  frame.contacts.push_back({"heel", {base, lever[0]}, {0, 0, -22.5}, {0, 0, 1}, 3000, 0});
  frame.contacts.push_back({"toe", {base, lever[1]}, {a + 20, 0, -22.5}, {0, 0, 1}, 3000, 0});
  const Solution s = Solver::make(frame).value().solve({{{lever[2], {0, 0, f}, {}}}, {}}).value();
  EXPECT_NEAR(-f * (a + b) / a, s.links[0][2], 1e-3 * f);
  EXPECT_NEAR(f * b / a, s.contacts[0].push_n, 1e-3 * f);
  EXPECT_EQ(0, s.contacts[1].push_n);
  expect_proven(s, f);
}

TEST(Links, RigidMotionsOfTheWholePutNoForceInThem) {
  for (int seed = 0; seed < 20; ++seed) {
    std::mt19937 random(seed);
    const Frame frame = turned(some_turn(random), lapped(random));
    for (int way = 0; way < 6; ++way) {
      Eigen::Vector3d shift = Eigen::Vector3d::Zero(), turn = Eigen::Vector3d::Zero();
      (way < 3 ? shift : turn)[way % 3] = 1;
      const auto at = [&](const Row& row) {
        double sum = 0;
        for (int end : {0, 1}) {
          Eigen::Matrix<double, 6, 1> q;
          q << shift + turn.cross(vec(frame.nodes[row.nodes[end]].at_mm)), turn;
          sum += row.b.segment<6>(6 * end).dot(q);
        }
        return sum;
      };
      for (const Link& link : frame.links)
        for (const auto& [row, k] : rows_of(frame, link)) EXPECT_NEAR(0, at(row), 1e-9);
      for (const Contact& contact : frame.contacts) EXPECT_NEAR(0, at(row_of(frame, contact)), 1e-9);
    }
  }
}

/// What every node lacks of balance, from the numbers handed out alone.
double worst_balance(const Frame& frame, const Solution& s) {
  std::vector<Eigen::Matrix<double, 6, 1>> left(frame.nodes.size(), Eigen::Matrix<double, 6, 1>::Zero());
  const auto add = [&](NodeIndex node, const Eigen::Vector3d& at, const Eigen::Vector3d& force,
                       const Eigen::Vector3d& moment) {
    left[node].head<3>() += force;
    left[node].tail<3>() += moment + (at - vec(frame.nodes[node].at_mm)).cross(force);
  };
  for (const NodeLoad& l : frame.loads.on_nodes)
    add(l.node, vec(frame.nodes[l.node].at_mm), vec(l.force_n), vec(l.moment_nmm));
  for (std::size_t i = 0; i < frame.supports.size(); ++i) {
    const NodeIndex n = frame.supports[i].node;
    add(n, vec(frame.nodes[n].at_mm), vec(s.reactions[i].force_n), vec(s.reactions[i].moment_nmm));
  }
  for (std::size_t m = 0; m < frame.members.size(); ++m) {
    const Axes axes = axes_of(frame, frame.members[m]);
    for (int end : {0, 1}) {
      const NodeIndex n = frame.members[m].ends[end];
      add(n, vec(frame.nodes[n].at_mm) + axes.offset[end], -axes.rows.transpose() * vec(s.members[m].end[end].force_n),
          -axes.rows.transpose() * vec(s.members[m].end[end].moment_nmm));
    }
  }
  const auto pair = [&](const std::array<NodeIndex, 2>& nodes, const Vec3& at, const Eigen::Vector3d& on_second) {
    add(nodes[0], vec(at), -on_second, {0, 0, 0});
    add(nodes[1], vec(at), on_second, {0, 0, 0});
  };
  for (std::size_t l = 0; l < frame.links.size(); ++l)
    pair(frame.links[l].nodes, frame.links[l].at_mm, vec(s.links[l]));
  for (std::size_t c = 0; c < frame.contacts.size(); ++c)
    pair(frame.contacts[c].nodes, frame.contacts[c].at_mm,
         s.contacts[c].push_n * vec(frame.contacts[c].normal).normalized());
  double worst = 0;
  for (const auto& l : left) worst = std::max({worst, l.head<3>().norm(), l.tail<3>().norm() / 1000});
  return worst;
}

TEST(Contact, RandomFramesComeToRestWithProof) {
  int steps = 0, most = 0, open = 0, all = 0;
  constexpr int kFrames = 300;
  for (int seed = 0; seed < kFrames; ++seed) {
    std::mt19937 random(seed);
    Frame frame = lapped(random);
    const auto s = Solver::make(frame).value().solve(frame.loads);
    ASSERT_TRUE(s.has_value()) << seed << ": " << to_string(s.error()[0]);
    expect_proven(*s, seed);
    EXPECT_LT(worst_balance(frame, *s), 1e-5) << seed;
    steps += s->proof.steps, most = std::max(most, s->proof.steps);
    for (const Touch& t : s->contacts) open += t.push_n == 0, ++all;
  }
  std::printf("%d frames: %.1f steps each, most %d; %d of %d contacts open\n", kFrames, 1.0 * steps / kFrames, most,
              open, all);
  EXPECT_GT(open, all / 4);
  EXPECT_LT(open, 3 * all / 4);
}

// Homogeneous: with no gaps and all loads scaled alike, all forces scale alike; turned upside down they do not.
TEST(Contact, ForcesScaleWithAllLoads) {
  for (int seed = 0; seed < 20; ++seed) {
    std::mt19937 random(4000 + seed);
    Frame frame = lapped(random);
    const Solver solver = Solver::make(frame).value();
    const Solution one = solver.solve(frame.loads).value();
    Loads more = frame.loads;
    for (NodeLoad& l : more.on_nodes)
      for (double& f : l.force_n) f *= 2.5;
    const Solution much = solver.solve(more).value();
    double most = 0;
    for (const Vec3& f : one.links) most = std::max(most, vec(f).norm());
    for (std::size_t l = 0; l < one.links.size(); ++l)
      EXPECT_LT((2.5 * vec(one.links[l]) - vec(much.links[l])).norm(), 1e-5 * most);
  }
}

TEST(Contact, AWarmStartFindsTheSameAsAColdOne) {
  std::mt19937 random(99);
  Frame frame = lapped(random);
  const Solver solver = Solver::make(frame).value();
  Series run(solver);
  std::normal_distribution<double> normal;
  int warm_steps = 0, cold_steps = 0;
  for (int round = 0; round < 40; ++round) {
    for (NodeLoad& l : frame.loads.on_nodes)
      for (double& f : l.force_n) f += 60 * normal(random);
    const Solution warm = run.solve(frame.loads).value(), cold = solver.solve(frame.loads).value();
    warm_steps += warm.proof.steps, cold_steps += cold.proof.steps;
    double most = 0;
    for (const Vec3& f : cold.links) most = std::max(most, vec(f).norm());
    for (std::size_t l = 0; l < warm.links.size(); ++l)
      EXPECT_LT((vec(warm.links[l]) - vec(cold.links[l])).norm(), 1e-6 * most);
  }
  std::printf("warm %d steps, cold %d\n", warm_steps, cold_steps);
  EXPECT_LT(warm_steps, cold_steps);
}

TEST(Contact, NearItsSolutionAFrameIsThatWithItsPressedContactsAsLinks) {
  for (int seed = 0; seed < 20; ++seed) {
    std::mt19937 random(700 + seed);
    const Frame frame = lapped(random);
    const Solution s = solve(frame).value();
    const Result<Solution> linear = solve(as_pressed(frame, s));
    if (!linear) continue;  // open contacts let something move that no load moves
    double most = 0;
    for (const Vec3& f : s.links) most = std::max(most, vec(f).norm());
    for (std::size_t l = 0; l < s.links.size(); ++l)
      EXPECT_LT((vec(s.links[l]) - vec(linear->links[l])).norm(), 1e-6 * most) << seed;
  }
}

// ---- what is crushed
// --------------------------------------------------------------------------------------------------

// Two bearings of 2000 N/mm that 300 N crush, and 100 N/mm beyond: 1000 N in the middle are 500 each, of which 300 sink
// in 0.15 mm and 200 sink in 2 mm; where it is pressed so briefly that twice as much crushes it, 0.25 mm.
TEST(Crushing, ABearingGivesMoreBeyondWhatCrushesIt) {
  Frame frame = on_bearings({0, 500, 1000}, {0, 2}, 2000);
  for (Contact& c : frame.contacts) c.crushes_at_n = 300, c.crushed_n_mm = 100;
  const Solver solver = Solver::make(frame).value();
  const auto sinks = [&](double load, double crushing) {
    const Solution s = solver.solve({{{1, {0, 0, -load}, {}}}, {}, crushing}).value();
    for (const Touch& t : s.contacts) {
      EXPECT_NEAR(load / 2, t.push_n, 1e-6);
      EXPECT_EQ(t.crushed, load / 2 > crushing * 300);
    }
    expect_proven(s, load);
    return -s.displacements[2].translation_mm[2];
  };
  EXPECT_NEAR(0.15 + 2, sinks(1000, 1), 1e-6);
  EXPECT_NEAR(0.25, sinks(1000, 2), 1e-6);
  EXPECT_NEAR(0.15, sinks(600, 1), 1e-6);
}

// A seat of four places 20 and 80 mm to either side of a stiff bar's middle, 1000 N down on it and a couple on it: with
// 400 N at most at each, statics alone says that 400 × (80 + 20) + 200 × -20 = 36 N·m are the most it holds.
TEST(Crushing, ASeatThatGivesNoMoreTurnsOver) {
  Frame frame;
  const auto bar = timber(frame, {0, 0, 0}, {1, 0, 0}, {0, 100}, 900, 900, {0, 0, 1});
  frame.supports.push_back({bar[0], {kRigid, kRigid, 0, kRigid, 0, kRigid}});
  frame.nodes.push_back({"wall", {0, 0, 0}});
  frame.supports.push_back({2, kFixed});
  for (const double at : {-80.0, -20.0, 20.0, 80.0})
    frame.contacts.push_back({"", {2, bar[0]}, {at, 0, 0}, {0, 0, 1}, 2000, 0, 400, 0});
  const Solver solver = Solver::make(frame, {.may_be_loose = true}).value();
  const auto loads = [&](double couple) { return Loads{{{bar[0], {0, 0, -1000}, {0, couple, 0}}}, {}}; };
  EXPECT_TRUE(solver.solve(loads(35900)).has_value());
  EXPECT_FALSE(solver.tips(loads(35900)).has_value());
  EXPECT_TRUE(solver.tips(loads(36100)).has_value());
}

// ---- what is not held -----------------------------------------------------------------------------------------------

TEST(Contact, WhatOnlyRestsLifts) {
  const Solver solver = Solver::make(on_bearings({0, 500, 1000}, {0, 2}, 2000)).value();
  EXPECT_TRUE(solver.solve({{{1, {0, 0, -100}, {}}}, {}}).has_value());
  const auto lifted = solver.solve({{{1, {0, 0, 1}, {}}}, {}});
  ASSERT_FALSE(lifted.has_value());
  EXPECT_EQ("tips", lifted.error()[0].code);
  const auto way = solver.tips({{{1, {0, 0, 1}, {}}}, {}});
  ASSERT_TRUE(way.has_value());
  EXPECT_GT(way->direction[2], 0.99);
}

// A load beyond the bearings tips the beam about the last when its weight on the other side is too small: 1200 x 200
// against 400 x 500.
TEST(Contact, ALoadOnItsEndTipsABeamAboutTheLastBearing) {
  const Solver solver = Solver::make(on_bearings({0, 500, 1000, 1200}, {0, 2}, 2000)).value();
  const auto loads = [](double end) { return Loads{{{1, {0, 0, -400}, {}}, {3, {0, 0, -end}, {}}}, {}}; };
  const Solution s = solver.solve(loads(999)).value();
  EXPECT_NEAR(400 * 500 / 1000.0 - 999 * 0.2, s.contacts[0].push_n, 1e-6);
  EXPECT_FALSE(solver.tips(loads(999)).has_value());
  const auto way = solver.tips(loads(1001));
  ASSERT_TRUE(way.has_value());
  EXPECT_EQ("N0", solver.frame().nodes[way->node].id);  // it moves most: 1000 against 200
  EXPECT_GT(way->direction[2], 0.99);
  expect_proven(s, 999);
}

TEST(Contact, WithoutLoadNothingHappens) {
  const Solution s = Solver::make(on_bearings({0, 500, 1000}, {0, 2}, 2000)).value().solve({}).value();
  for (const Touch& t : s.contacts) EXPECT_EQ(0, t.push_n);
  for (const Motion& m : s.displacements) EXPECT_EQ(0, m.translation_mm[2]);
}

// ---- rigid ends -----------------------------------------------------------------------------------------------------

// A cantilever of L whose end stands e from a node that turns on a spring c: P L³/3EI + P (L + e)²/c.
TEST(Offsets, ACantileverFromBesideItsNode) {
  const double l = 900, e = 120, p = 50, c = 3e7;
  Frame frame;
  timber(frame, {0, 0, 0}, {1, 0, 0}, {0, l + e}, 45, 70, {0, 0, 1});
  frame.members[0].offset_mm[0] = {e, 0, 0};
  frame.supports = {{0, {kRigid, kRigid, kRigid, kRigid, c, kRigid}}};
  const Solution s = Solver::make(frame).value().solve({{{1, {0, 0, -p}, {}}}, {}}).value();
  const double ei = frame.members[0].e_mpa * frame.members[0].iz_mm4;
  EXPECT_NEAR(-p * l * l * l / (3 * ei) - p * (l + e) * (l + e) / c, s.displacements[1].translation_mm[2], 1e-9);
  EXPECT_NEAR(-p * (l + e), s.reactions[0].moment_nmm[1], 1e-6);
}

TEST(Offsets, EquilibriumAndTurning) {
  std::mt19937 random(5);
  std::uniform_real_distribution<double> some(-80, 80);
  for (int round = 0; round < 20; ++round) {
    Frame frame = lapped(random);
    for (Member& m : frame.members)
      for (Vec3& o : m.offset_mm) o = {some(random), some(random), some(random) / 4};
    for (Support& s : frame.supports) s.stiffness = kFixed;
    const Solution s = solve(frame).value();
    EXPECT_LT(worst_balance(frame, s), 1e-5);
    const Eigen::Matrix3d r = some_turn(random);
    const Frame view = turned(r, frame);
    const Solution t = solve(view).value();
    for (std::size_t n = 0; n < frame.nodes.size(); ++n)
      EXPECT_LT((r * vec(s.displacements[n].translation_mm) - vec(t.displacements[n].translation_mm)).norm(), 1e-5);
  }
}

// ---- plain switching goes round -------------------------------------------------------------------------------------

/// One stiff timber on a soft stand between walls on all sides, with bearings at random places and slants: what a
/// halving or a housing is, and more of it.
Frame gripped(std::mt19937& random) {
  const auto between = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  Frame frame;
  const auto piece = timber(frame, {0, 0, 0}, {1, 0, 0}, {0, 200}, 45, 95, {0, 0, 1});
  frame.supports.push_back({piece[0], {60, 40, 90, 4e5, 7e5, 5e5}});
  frame.nodes.push_back({"wall", {100, 0, 0}});
  frame.supports.push_back({2, kFixed});
  for (int c = 0; c < 12; ++c)
    frame.contacts.push_back({fmt::format("C{}", c),
                              {2, piece[c % 2]},
                              {between(0, 200), between(-50, 50), between(-50, 50)},
                              {between(-1, 1), between(-1, 1), between(-1, 1)},
                              between(3000, 15000),
                              0});
  for (NodeIndex n : piece)
    frame.loads.on_nodes.push_back({n,
                                    {between(-500, 500), between(-500, 500), between(-500, 500)},
                                    {between(-3e4, 3e4), between(-3e4, 3e4), between(-3e4, 3e4)}});
  return frame;
}

/// All contacts closed at first; open those that pull, close those that overlap, until none is wrong. False where a set
/// comes again.
bool plain_switching_ends(const Frame& frame) {
  std::vector<char> closed(frame.contacts.size(), 1);
  std::set<std::vector<char>> seen;
  while (seen.insert(closed).second) {
    Frame linear = frame;
    linear.contacts.clear();
    for (std::size_t c = 0; c < closed.size(); ++c)
      if (closed[c]) {
        const Contact& contact = frame.contacts[c];
        linear.links.push_back({"", contact.nodes, contact.at_mm, contact.normal, contact.k_n_mm, 0});
      }
    const auto s = solve(linear);
    if (!s) return true;  // something came loose: another matter
    std::vector<char> next(closed.size());
    for (std::size_t c = 0; c < closed.size(); ++c) {
      const Row row = row_of(frame, frame.contacts[c]);
      double moved = 0;
      for (int end : {0, 1}) {
        const Motion& m = s->displacements[row.nodes[end]];
        for (int i = 0; i < 3; ++i)
          moved += row.b[6 * end + i] * m.translation_mm[i] + row.b[6 * end + 3 + i] * m.rotation_rad[i];
      }
      next[c] = moved < 0;
    }
    if (next == closed) return true;
    closed = next;
  }
  return false;
}

/// Of the first thousand gripped(), those for which it goes round: found by trying them all.
constexpr std::array kGoRound = {94, 103, 127, 143, 264, 530, 588, 598, 600, 739, 745, 792, 798, 989};

TEST(Contact, FramesOnWhichPlainSwitchingGoesRoundAreSolved) {
  for (const int seed : kGoRound) {
    std::mt19937 random(seed);
    const Frame frame = gripped(random);
    EXPECT_FALSE(plain_switching_ends(frame)) << seed;
    const auto s = solve(frame);
    ASSERT_TRUE(s.has_value()) << seed;
    expect_proven(*s, seed);
  }
}

TEST(Contact, EveryGrippedFrameIsSolved) {
  int most = 0;
  for (int seed = 0; seed < 2000; ++seed) {
    std::mt19937 random(seed);
    const Frame frame = gripped(random);
    const auto s = solve(frame);
    ASSERT_TRUE(s.has_value()) << seed;
    expect_proven(*s, seed);
    most = std::max(most, s->proof.steps);
  }
  std::printf("most steps %d\n", most);
}

/// The same with six contacts, most of which can be crushed.
Frame gripped_by_soft_walls(std::mt19937& random) {
  Frame frame = gripped(random);
  frame.contacts.resize(6);
  for (Contact& c : frame.contacts) {
    const double k = c.k_n_mm, draw = std::uniform_real_distribution<double>(0, 1)(random);
    if (draw < 0.8) c.crushes_at_n = 20 + 400 * draw, c.crushed_n_mm = draw < 0.4 ? 0 : draw < 0.6 ? 0.05 * k : 0.5 * k;
    c.gap_mm = draw > 0.5 ? 0.05 * draw : 0;
  }
  return frame;
}

/// What every contact pushes with in the only one of all sets of open, closed and crushed ones that contradicts
/// nothing: from the frame without contacts under its load and under a unit push of each. None or several: empty.
std::vector<double> pushes_by_trying_all(const Frame& frame) {
  Frame free = frame;
  free.contacts.clear();
  const Solver solver = Solver::make(free).value();
  const auto n = static_cast<Eigen::Index>(frame.contacts.size());
  std::vector<Row> rows;
  for (const Contact& c : frame.contacts) rows.push_back(row_of(frame, c));
  const auto opened = [&](const Loads& loads) {
    const Solution s = solver.solve(loads).value();
    Eigen::VectorXd open(n);
    for (Eigen::Index c = 0; c < n; ++c) {
      open[c] = 0;
      for (int end : {0, 1}) {
        const Motion& m = s.displacements[rows[c].nodes[end]];
        for (int i = 0; i < 3; ++i)
          open[c] += rows[c].b[6 * end + i] * m.translation_mm[i] + rows[c].b[6 * end + 3 + i] * m.rotation_rad[i];
      }
    }
    return open;
  };
  const Eigen::VectorXd by_load = opened(frame.loads);
  Eigen::MatrixXd by_push(n, n);
  for (Eigen::Index c = 0; c < n; ++c) {
    Loads unit;
    for (int end : {0, 1}) {
      const auto& b = rows[c].b;
      unit.on_nodes.push_back({rows[c].nodes[end],
                               {b[6 * end], b[6 * end + 1], b[6 * end + 2]},
                               {b[6 * end + 3], b[6 * end + 4], b[6 * end + 5]}});
    }
    by_push.col(c) = opened(unit);
  }
  std::vector<double> found;
  int sets = 1, fit = 0;
  for (Eigen::Index c = 0; c < n; ++c) sets *= 3;
  for (int set = 0; set < sets; ++set) {
    // push = k' come_in + rest with come_in = -gap - by_load - by_push push, contact by contact.
    Eigen::VectorXd stiff(n), rest(n);
    std::vector<int> state;
    for (int c = 0, left = set; c < n; ++c, left /= 3) {
      const Contact& of = frame.contacts[static_cast<std::size_t>(c)];
      state.push_back(left % 3);
      stiff[c] = state.back() == 0 ? 0 : state.back() == 1 ? of.k_n_mm : of.crushed_n_mm;
      rest[c] =
          state.back() == 2 && std::isfinite(of.crushes_at_n) ? of.crushes_at_n * (1 - of.crushed_n_mm / of.k_n_mm) : 0;
    }
    Eigen::VectorXd gaps(n);
    for (Eigen::Index c = 0; c < n; ++c) gaps[c] = frame.contacts[static_cast<std::size_t>(c)].gap_mm;
    const Eigen::MatrixXd all = Eigen::MatrixXd::Identity(n, n) + stiff.asDiagonal() * by_push;
    const Eigen::VectorXd push = all.lu().solve(rest - stiff.cwiseProduct(gaps + by_load));
    const Eigen::VectorXd come_in = -gaps - by_load - by_push * push;
    bool fits = true;
    for (Eigen::Index c = 0; c < n; ++c) {
      const Contact& of = frame.contacts[static_cast<std::size_t>(c)];
      const double most = of.crushes_at_n / of.k_n_mm;
      fits = fits && (state[c] == 0   ? come_in[c] <= 0
                      : state[c] == 1 ? come_in[c] > 0 && come_in[c] <= most
                                      : come_in[c] > most);
    }
    if (!fits) continue;
    ++fit;
    found.assign(push.data(), push.data() + n);
  }
  return fit == 1 ? found : std::vector<double>{};
}

TEST(Crushing, OfAllSetsOfOpenClosedAndCrushedTheOnlyOneThatFitsIsFound) {
  int crushed = 0, closed = 0;
  for (int seed = 0; seed < 60; ++seed) {
    std::mt19937 random(seed);
    const Frame frame = gripped_by_soft_walls(random);
    const std::vector<double> pushes = pushes_by_trying_all(frame);
    ASSERT_FALSE(pushes.empty()) << seed;
    const Solution s = solve(frame).value();
    for (std::size_t c = 0; c < pushes.size(); ++c) {
      EXPECT_NEAR(pushes[c], s.contacts[c].push_n, 1e-5 * (1 + pushes[c])) << seed;
      crushed += s.contacts[c].crushed, closed += s.contacts[c].push_n > 0;
    }
  }
  EXPECT_GT(crushed, 40);
  EXPECT_GT(closed - crushed, 40);
}

TEST(Crushing, EveryFrameBetweenSoftWallsIsSolved) {
  int most = 0;
  for (int seed = 0; seed < 2000; ++seed) {
    std::mt19937 random(seed);
    const Frame frame = gripped_by_soft_walls(random);
    const auto s = solve(frame);
    ASSERT_TRUE(s.has_value()) << seed;
    expect_proven(*s, seed);
    EXPECT_LT(worst_balance(frame, *s), 1e-5) << seed;
    most = std::max(most, s->proof.steps);
  }
  std::printf("most steps %d\n", most);
}

TEST(Crushing, RandomGardenFramesComeToRestWithProof) {
  int crushed = 0;
  for (int seed = 0; seed < 300; ++seed) {
    std::mt19937 random(seed);
    Frame frame = lapped(random);
    for (Contact& c : frame.contacts) c.crushes_at_n = 40 + seed, c.crushed_n_mm = 0.05 * c.k_n_mm;
    const auto s = solve(frame);
    ASSERT_TRUE(s.has_value()) << seed << ": " << to_string(s.error()[0]);
    expect_proven(*s, seed);
    EXPECT_LT(worst_balance(frame, *s), 1e-5) << seed;
    for (const Touch& t : s->contacts) crushed += t.crushed;
  }
  EXPECT_GT(crushed, 300);
}

// ---- held by next to nothing ----------------------------------------------------------------------------------------

/// At rest with proof, or told what comes off and which way.
bool rests(const Frame& frame, unsigned seed) {
  const Solver solver = Solver::make(frame, {.may_be_loose = true}).value();
  Series run(solver);
  const auto s = run.solve(frame.loads);
  EXPECT_TRUE(s.has_value() || run.tips().has_value()) << seed << ": " << to_string(s.error()[0]);
  if (s) expect_proven(*s, seed, 1e-7);  // what is a hundredth as stiff moves far: round-off of that
  return s.has_value();
}

/// Of the first twenty thousand poorly_fixed(), those whose rest lies so far off that round-off bars the way to it:
/// found by trying them all. The search went on for a thousand steps and gave up.
constexpr std::array kNeverSettled = {611U, 1893U, 4341U, 6234U, 10125U, 19591U};

TEST(Contact, WhatNextToNothingHoldsComesOff) {
  for (const unsigned seed : kNeverSettled) EXPECT_FALSE(rests(poorly_fixed(seed), seed)) << seed;
}

TEST(Contact, APoorlyFixedFrameRestsOrComesOff) {
  int come_off = 0;
  constexpr int kFrames = 3000;
  for (unsigned seed = 0; seed < kFrames; ++seed) come_off += !rests(poorly_fixed(seed), seed);
  std::printf("%d of %d come off\n", come_off, kFrames);
  EXPECT_GT(come_off, 0);
  EXPECT_LT(come_off, kFrames / 10);
}

// A bar that leans on two faces which are parallel but for a hair: in the sums of small motions it sinks until they
// grip, 10 m down; where it is gone.
TEST(Contact, ARestThatLiesBeyondTheFrameIsNone) {
  for (const double slant : {1e-2, 1e-4}) {
    Frame frame;
    const auto piece = timber(frame, {0, 0, 0}, {1, 0, 0}, {0, 500}, 45, 95, {0, 0, 1});
    frame.supports.push_back({piece[0], {kRigid, kRigid, 0, kRigid, kRigid, kRigid}});
    frame.nodes.push_back({"wall", {0, 0, 0}});
    frame.supports.push_back({2, kFixed});
    for (const double side : {-1.0, 1.0})
      frame.contacts.push_back({"", {2, piece[0]}, {0, side * 20, 0}, {0, -side, slant}, 3000, 0});
    const Solver solver = Solver::make(frame, {.may_be_loose = true}).value();
    const Loads weight{{{piece[0], {0, 0, -20}, {}}}, {}};
    const auto way = solver.tips(weight);
    // By hand: 2 k slant² u = P.
    EXPECT_EQ(way.has_value(), 20 / (2 * 3000 * slant * slant) > 500) << slant;
    if (way) {
      EXPECT_LT(way->direction[2], -0.99);
    } else {
      EXPECT_NEAR(-20 / (2 * 3000 * slant * slant) * (1 + slant * slant),
                  solver.solve(weight).value().displacements[piece[0]].translation_mm[2], 1e-3);
    }
  }
}

}  // namespace
}  // namespace garthwright::frame
