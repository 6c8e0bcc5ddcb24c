// SPDX-License-Identifier: Apache-2.0
// Frames that would move, and wrong input: the message must name where and which way.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "frame/frames_for_tests.h"

namespace garthwright::frame {
namespace {

using namespace testing;
using ::testing::HasSubstr;

std::string why_not(const Frame& frame) {
  const Result<Solution> s = solve(frame);
  if (s) return "it was solved";
  std::string all;
  for (const Diagnostic& d : s.error()) all += to_string(d) + "\n";
  return all;
}

/// Four posts on hinges, pinned to the beams: racks both ways until it is braced.
Frame bare_arbor() {
  Frame frame;
  const std::array<std::array<double, 2>, 4> feet = {{{0, 0}, {1200, 0}, {1200, 800}, {0, 800}}};
  for (int i = 0; i < 4; ++i) frame.nodes.push_back({fmt::format("foot{}", i), {feet[i][0], feet[i][1], 0}});
  for (int i = 0; i < 4; ++i) frame.nodes.push_back({fmt::format("top{}", i), {feet[i][0], feet[i][1], 2100}});
  for (NodeIndex i = 0; i < 4; ++i) frame.members.push_back(bar(fmt::format("post{}", i), i, i + 4, 90, 90, {1, 0, 0}));
  for (NodeIndex i = 0; i < 4; ++i) {
    Member beam = bar(fmt::format("beam{}", i), 4 + i, 4 + (i + 1) % 4, 45, 120);
    for (int end : {0, 1}) beam.joint[end][4] = beam.joint[end][5] = 0;
    frame.members.push_back(beam);
  }
  for (NodeIndex i = 0; i < 4; ++i) frame.supports.push_back({i, {kRigid, kRigid, kRigid, 0, 0, kRigid}});
  frame.loads.on_nodes = {{4, {50, 0, -100}, {}}};
  return frame;
}

TEST(Mechanism, AnArborWithoutBracesRacks) {
  const std::string text = why_not(bare_arbor());
  EXPECT_THAT(text, HasSubstr("the frame is a mechanism: node 'top"));
  EXPECT_THAT(text, HasSubstr("can move along"));
  EXPECT_THAT(text, HasSubstr("brace it, hold it with a support, or undo a release"));
}

TEST(Mechanism, TheModeIsAMotionThatBendsNothing) {
  const Frame frame = bare_arbor();
  const Mechanism m = find_mechanism(frame).value();
  EXPECT_FALSE(m.turns);
  EXPECT_NEAR(0, m.direction[2], 1e-9) << "tops move level";
  for (int foot = 0; foot < 4; ++foot)
    for (double u : m.mode[foot].translation_mm) EXPECT_NEAR(0, u, 1e-12);
}

TEST(Mechanism, BracedBothWaysItStands) {
  Frame frame = bare_arbor();
  for (int side = 0; side < 4; ++side) {
    Member brace = bar(fmt::format("brace{}", side), side, 4 + (side + 1) % 4, 45, 45, {0.3, 0.4, 0.5});
    for (int end : {0, 1}) brace.joint[end][4] = brace.joint[end][5] = 0;
    frame.members.push_back(brace);
  }
  EXPECT_EQ("it was solved", why_not(frame));
}

TEST(Mechanism, ABeamOnTwoPinsSpinsAboutItself) {
  Frame frame = straight(2000, 2, 45, 95);
  frame.supports = {{0, kPinned}, {2, kPinned}};
  const std::string text = why_not(frame);
  EXPECT_THAT(text, HasSubstr("can turn about x"));
}

TEST(Mechanism, IsNamedAsAShiftWhereThereIsOne) {
  Frame frame = straight(2000, 1, 45, 95);
  frame.supports = {{0, {kRigid, kRigid, kRigid, 0, 0, kRigid}}};
  EXPECT_THAT(why_not(frame), HasSubstr("node 'N1' can move along z"));
}

TEST(Mechanism, NothingHoldsIt) {
  Frame frame = straight(2000, 1, 45, 95);
  EXPECT_THAT(why_not(frame), HasSubstr("the frame is a mechanism: node 'N"));
}

TEST(Mechanism, ThreeHingesInARow) {
  Frame frame = straight(2000, 2, 45, 95);
  frame.members[0].joint[1][5] = 0;
  frame.supports = {{0, kHinge}, {2, kHinge}};
  EXPECT_THAT(why_not(frame), HasSubstr("node 'N1' can move along z"));
}

TEST(Mechanism, ALonelyNode) {
  Frame frame = straight(2000, 1, 45, 95);
  frame.supports = {{0, kFixed}};
  frame.nodes.push_back({"alone", {0, 0, 500}});
  EXPECT_THAT(why_not(frame), HasSubstr("node 'alone' can move along"));
}

TEST(Mechanism, ASlidingJointNamesTheFreePart) {
  Frame frame = straight(2000, 2, 45, 95);
  frame.members[1].joint[0][0] = 0;
  frame.supports = {{0, kFixed}};
  EXPECT_THAT(why_not(frame), HasSubstr("node 'N2' can move along x"));
}

TEST(Mechanism, ALooseBarThatIsPushedAlongItself) {
  Frame frame = straight(2000, 1, 45, 95);
  frame.supports = {{0, kFixed}, {1, kFixed}};
  for (int end : {0, 1}) frame.members[0].joint[end][0] = 0;
  EXPECT_EQ("it was solved", why_not(frame)) << "nothing pushes it yet";
  frame.loads.on_members = {{0, {1, 0, 0}}};
  EXPECT_THAT(why_not(frame), HasSubstr("member 'M0' can slide along its own length, past nodes 'N0' and 'N1'"));
}

TEST(Mechanism, ATurnOfANodeThatEveryMemberIsPinnedToMattersOnlyUnderAMoment) {
  std::mt19937 random(3);
  for (const Eigen::Matrix3d& r : {Eigen::Matrix3d::Identity().eval(), some_turn(random)}) {
    Frame frame = straight(2000, 2, 45, 95);
    for (auto [member, end] : {std::pair{0, 1}, std::pair{1, 0}}) frame.members[member].joint[end][5] = 0;
    frame.supports = {{0, kFixed}, {2, kFixed}};
    frame.loads.on_nodes = {{1, {0, 0, -100}, {}}};
    EXPECT_EQ("it was solved", why_not(turned(r, frame)));
    frame.loads.on_nodes[0].moment_nmm = {0, 5000, 0};
    EXPECT_THAT(why_not(turned(r, frame)), HasSubstr("node 'N1' can turn about"));
  }
}

TEST(Mechanism, IsFoundHoweverTheFrameIsTurned) {
  std::mt19937 random(11);
  for (int turn = 0; turn < 30; ++turn) {
    Frame frame = straight(3000, 3, 45, 95);
    frame.members[1].joint[0][5] = 0;
    frame.members[1].joint[1][5] = 0;
    frame.members[2].joint[1][5] = 0;
    frame.supports = {{0, kFixed}, {3, kFixed}};
    EXPECT_THAT(why_not(turned(some_turn(random), frame)), HasSubstr("mechanism")) << turn;
  }
}

TEST(Mechanism, SoftIsNotLoose) {
  Frame frame = straight(2000, 2, 45, 95);
  frame.members[0].joint[1][5] = 0;
  frame.supports = {{0, kHinge}, {1, {0, 0, 1e-4, 0, 0, 0}}, {2, kHinge}};
  frame.loads.on_nodes = {{1, {0, 0, -0.01}, {}}};
  const Solution s = solve(frame).value();
  EXPECT_NEAR(-100, s.displacements[1].translation_mm[2], 1e-3);
}

TEST(Mechanism, ALongThinCantileverIsNotOne) {
  Frame frame = straight(100000, 400, 45, 45);
  frame.supports = {{0, kFixed}};
  frame.loads.on_nodes = {{400, {0, 0, -0.001}, {}}};
  const Solution s = solve(frame).value();
  const double exact = -0.001 * 1e15 / (3 * kE * frame.members[0].iz_mm4);
  EXPECT_NEAR(exact, s.displacements[400].translation_mm[2], 1e-6 * std::abs(exact));
}

TEST(WrongInput, IsNamed) {
  Frame good = straight(2000, 1, 45, 95);
  good.supports = {{0, kFixed}};
  ASSERT_EQ("it was solved", why_not(good));

  Frame frame = good;
  frame.nodes[1].at_mm = frame.nodes[0].at_mm;
  EXPECT_EQ(
      "M0: error: member 'M0' has no length: nodes 'N0' and 'N1' are in one place; "
      "join two nodes that stand apart [no-length]\n",
      why_not(frame));
  frame = good;
  frame.members[0].up = {-3, 0, 0};
  EXPECT_EQ(
      "M0: error: up of member 'M0' is along the member; "
      "give a vector that stands across it; its y axis is taken from there [bad-up]\n",
      why_not(frame));
  frame = good;
  frame.members[0].area_mm2 = 0;
  EXPECT_EQ("M0: error: area_mm2 of member 'M0' is 0; give a number above zero [not-above-zero]\n", why_not(frame));
  frame = good;
  frame.members[0].e_mpa = std::nan("");
  EXPECT_THAT(why_not(frame), HasSubstr("e_mpa of member 'M0' is nan"));
  frame = good;
  frame.members[0].ends[1] = 9;
  EXPECT_THAT(why_not(frame), HasSubstr("member 'M0' runs to node number 9, which does not exist"));
  frame = good;
  frame.members[0].joint[1][3] = -5;
  EXPECT_THAT(why_not(frame), HasSubstr("a spring at the second end of member 'M0' is -5"));
  frame = good;
  frame.supports.push_back({0, kPinned});
  EXPECT_THAT(why_not(frame), HasSubstr("node 'N0' has two supports"));
  frame = good;
  frame.loads.on_members = {{4, {}}};
  EXPECT_THAT(why_not(frame), HasSubstr("a load is on member number 4"));
  EXPECT_THAT(why_not({}), HasSubstr("the frame has no nodes"));
}

TEST(WrongInput, HugeNumbersAreToldNotCrashed) {
  Frame frame = straight(2000, 1, 45, 95);
  frame.supports = {{0, kFixed}};
  frame.members[0].e_mpa = 1e300;
  frame.members[0].iz_mm4 = 1e300;
  EXPECT_NE("it was solved", why_not(frame));
}

}  // namespace
}  // namespace garthwright::frame
