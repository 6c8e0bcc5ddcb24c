// SPDX-License-Identifier: Apache-2.0
// What must hold for every frame, tried on random ones.
#include <gtest/gtest.h>

#include "frame/frames_for_tests.h"

namespace garthwright::frame {
namespace {

using namespace testing;
using Eigen::Vector3d;

Vector3d vec(const Vec3& v) { return {v[0], v[1], v[2]}; }

struct Sum {
  Vector3d force = Vector3d::Zero(), moment = Vector3d::Zero();
  double force_size = 0, moment_size = 0;
  void add(const Vector3d& at, const Vector3d& f, const Vector3d& m) {
    force += f;
    moment += m + at.cross(f);
    force_size += f.norm();
    moment_size += m.norm() + at.cross(f).norm();
  }
};

/// Loads and reactions of the whole frame.
Sum whole(const Frame& frame, const Solution& s) {
  Sum sum;
  for (const NodeLoad& load : frame.loads.on_nodes)
    sum.add(vec(frame.nodes[load.node].at_mm), vec(load.force_n), vec(load.moment_nmm));
  for (const MemberLoad& load : frame.loads.on_members) {
    const Member& m = frame.members[load.member];
    const Vector3d a = vec(frame.nodes[m.ends[0]].at_mm), b = vec(frame.nodes[m.ends[1]].at_mm);
    sum.add((a + b) / 2, vec(load.uniform_n_per_mm) * (b - a).norm(), Vector3d::Zero());
  }
  for (std::size_t i = 0; i < frame.supports.size(); ++i)
    sum.add(vec(frame.nodes[frame.supports[i].node].at_mm), vec(s.reactions[i].force_n),
            vec(s.reactions[i].moment_nmm));
  return sum;
}

Eigen::Matrix3d axes_of_member(const Frame& frame, const Member& m) {
  const Vector3d x = (vec(frame.nodes[m.ends[1]].at_mm) - vec(frame.nodes[m.ends[0]].at_mm)).normalized();
  const Vector3d up = vec(m.up);
  const Vector3d y = (up - up.dot(x) * x).normalized();
  Eigen::Matrix3d columns;
  columns << x, y, x.cross(y);
  return columns;
}

/// Loads, reactions and members' end forces at each node.
std::vector<Sum> at_nodes(const Frame& frame, const Solution& s) {
  std::vector<Sum> sums(frame.nodes.size());
  const Vector3d here = Vector3d::Zero();
  for (const NodeLoad& load : frame.loads.on_nodes) sums[load.node].add(here, vec(load.force_n), vec(load.moment_nmm));
  for (std::size_t i = 0; i < frame.supports.size(); ++i)
    sums[frame.supports[i].node].add(here, vec(s.reactions[i].force_n), vec(s.reactions[i].moment_nmm));
  for (std::size_t i = 0; i < frame.members.size(); ++i) {
    const Eigen::Matrix3d axes = axes_of_member(frame, frame.members[i]);
    for (int end : {0, 1})
      sums[frame.members[i].ends[end]].add(here, -(axes * vec(s.members[i].end[end].force_n)),
                                           -(axes * vec(s.members[i].end[end].moment_nmm)));
  }
  return sums;
}

class RandomFrames : public ::testing::TestWithParam<int> {};

TEST_P(RandomFrames, RestInEquilibrium) {
  std::mt19937 random(GetParam());
  const Frame frame = scattered(random, true);
  const Result<Solution> s = solve(frame);
  ASSERT_TRUE(s.has_value()) << to_string(s.error()[0]);
  const Sum sum = whole(frame, *s);
  EXPECT_LE(sum.force.norm(), 1e-9 * sum.force_size);
  EXPECT_LE(sum.moment.norm(), 1e-9 * sum.moment_size);
  for (const Sum& node : at_nodes(frame, *s)) {
    EXPECT_LE(node.force.norm(), 1e-9 * std::max(node.force_size, 1.0));
    EXPECT_LE(node.moment.norm(), 1e-9 * std::max(node.moment_size, 1000.0));
  }
}

TEST_P(RandomFrames, TurnWithTheFrame) {
  std::mt19937 random(1000 + GetParam());
  Frame frame = scattered(random, true);
  // Springs and partial holds of supports are global; keep only those that look alike from every side.
  for (Support& support : frame.supports)
    if (std::isfinite(support.stiffness[0])) support.stiffness = {50, 50, 50, 1e6, 1e6, 1e6};
  const Eigen::Matrix3d r = some_turn(random);
  const Solution a = solve(frame).value(), b = solve(turned(r, frame)).value();
  double most = 0;
  for (const Motion& m : a.displacements) most = std::max(most, vec(m.translation_mm).norm());
  for (std::size_t n = 0; n < frame.nodes.size(); ++n)
    EXPECT_LE((r * vec(a.displacements[n].translation_mm) - vec(b.displacements[n].translation_mm)).norm(),
              1e-8 * most);
  for (std::size_t m = 0; m < frame.members.size(); ++m)
    for (int end : {0, 1}) {
      const Vector3d one = vec(a.members[m].end[end].moment_nmm), two = vec(b.members[m].end[end].moment_nmm);
      EXPECT_LE((one - two).norm(), 1e-6 * std::max(one.norm(), 1000.0))
          << "member forces are in the member's own axes";
    }
}

TEST_P(RandomFrames, WorkBothWaysAlike) {  // Maxwell–Betti
  std::mt19937 random(2000 + GetParam());
  Frame frame = scattered(random, true);
  const Solver solver = Solver::make(frame).value();
  const NodeIndex a = 1, b = frame.nodes.size() - 2;
  const Solution by_a = solver.solve({{{a, {0, 100, 0}, {}}}, {}}).value();
  const Solution by_b = solver.solve({{{b, {100, 0, 0}, {}}}, {}}).value();
  const double there = by_a.displacements[b].translation_mm[0], here = by_b.displacements[a].translation_mm[1];
  double most = 0;
  for (const Motion& m : by_a.displacements) most = std::max(most, vec(m.translation_mm).norm());
  EXPECT_NEAR(there, here, 1e-9 * most);
}

TEST_P(RandomFrames, AddUp) {
  std::mt19937 random(3000 + GetParam());
  const Frame frame = scattered(random, true);
  const Solver solver = Solver::make(frame).value();
  const Solution nodes = solver.solve({frame.loads.on_nodes, {}}).value();
  const Solution members = solver.solve({{}, frame.loads.on_members}).value();
  const Solution both = solver.solve(frame.loads).value();
  for (std::size_t m = 0; m < frame.members.size(); ++m)
    for (int i = 0; i < 3; ++i) {
      const double sum = nodes.members[m].end[0].moment_nmm[i] + members.members[m].end[0].moment_nmm[i];
      EXPECT_NEAR(sum, both.members[m].end[0].moment_nmm[i], 1e-6 * (1000 + std::abs(sum)));
    }
}

TEST_P(RandomFrames, BendLessWhenThicker) {
  std::mt19937 random(4000 + GetParam());
  Frame frame = scattered(random, false);
  frame.loads.on_nodes.resize(1);
  frame.loads.on_nodes[0].node = frame.nodes.size() / 2;
  frame.loads.on_members.clear();
  const auto work = [](const Frame& f) {
    const Solution s = solve(f).value();
    const NodeLoad& load = f.loads.on_nodes[0];
    return vec(load.force_n).dot(vec(s.displacements[load.node].translation_mm)) +
           vec(load.moment_nmm).dot(vec(s.displacements[load.node].rotation_rad));
  };
  Frame thicker = frame;
  Member& m = thicker.members[GetParam() % thicker.members.size()];
  m.area_mm2 *= 1.3, m.iy_mm4 *= 1.7, m.iz_mm4 *= 1.7, m.j_mm4 *= 1.7;
  EXPECT_LE(work(thicker), work(frame) * (1 + 1e-9)) << "the work of a single load cannot grow with stiffness";
}

INSTANTIATE_TEST_SUITE_P(Seeds, RandomFrames, ::testing::Range(0, 40));

TEST(Laws, EquilibriumHoldsWithStiffLinksToo) {
  // Eccentric joints are short links, thousands of times stiffer than what they join.
  Frame frame;
  for (int i = 0; i < 12; ++i) frame.nodes.push_back({fmt::format("N{}", i), {250.0 * i, i % 2 ? 22.5 : 0.0, 0}});
  for (NodeIndex i = 0; i + 1 < 12; ++i) {
    frame.members.push_back(bar(fmt::format("M{}", i), i, i + 1, 45, 95));
    if (i % 3 == 0) {
      Member& link = frame.members.back();
      link.area_mm2 *= 1e5, link.iy_mm4 *= 1e5, link.iz_mm4 *= 1e5, link.j_mm4 *= 1e5;
    }
  }
  frame.supports = {{0, kFixed}, {11, kPinned}};
  frame.loads.on_nodes = {{6, {70, 30, -500}, {}}};
  for (MemberIndex m = 0; m < frame.members.size(); ++m) frame.loads.on_members.push_back({m, {0.1, 0.2, -0.3}});
  const Solution s = solve(frame).value();
  const Sum sum = whole(frame, s);
  EXPECT_LE(sum.force.norm(), 1e-9 * sum.force_size);
  EXPECT_LE(sum.moment.norm(), 1e-9 * sum.moment_size);
}

TEST(Laws, SameFrameSameBits) {
  std::mt19937 random(7);
  const Frame frame = scattered(random, true);
  const Solution a = solve(frame).value(), b = solve(frame).value();
  for (std::size_t n = 0; n < frame.nodes.size(); ++n)
    EXPECT_EQ(a.displacements[n].translation_mm, b.displacements[n].translation_mm);
}

}  // namespace
}  // namespace garthwright::frame
