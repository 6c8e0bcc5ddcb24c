// SPDX-License-Identifier: Apache-2.0
#include "structure/joint_index.h"

#include <gtest/gtest.h>

#include "structure/joints_by_body.h"

namespace garthwright {
namespace {

// A bolt through three timbers holds both of their joints, and a second joint of the same two as well.
TEST(JointIndex, FindsWhatASearchFinds) {
  Structure s;
  s.pieces.resize(4);
  const auto of = [](int i) { return body(PieceId{i}); };
  const auto join = [&](Body a, Body b) { s.joints.push_back({JointKind::face, a, b, {}, {}, {}, false, {}}); };
  join(of(0), of(1)), join(of(2), of(1)), join(of(1), of(0)), join(of(3), kGround), join(of(2), of(3));
  s.fixings.resize(3);
  s.fixings[0].through = {of(0), of(1), of(2)};
  s.fixings[1].through = {of(1), of(0)};
  s.fixings[2].through = {of(0), of(2)};  // of no joint
  const JointIndex index(s);
  for (int i = 0; i < 5; ++i)
    EXPECT_EQ(index.fixings_of(JointId{i}), fixings_of(s, s.joints[static_cast<std::size_t>(i)]));
  EXPECT_EQ(index.fixings_of(JointId{0}), (std::vector<int>{0, 1}));
  EXPECT_EQ(index.fixings_of(JointId{1}), (std::vector<int>{0}));
  EXPECT_FALSE(index.is_fixed(JointId{4}));
  EXPECT_EQ(index.joints_of(of(1)), (std::vector<JointId>{{0}, {1}, {2}}));
  EXPECT_EQ(index.joints_of(kGround), (std::vector<JointId>{{3}}));
  EXPECT_TRUE(index.joints_of(kWall).empty());
  for (const Body a : {of(0), of(1), of(2), of(3), kGround, kWall, body(PanelId{0})})
    for (const Body b : {of(0), of(1), of(2), of(3), kGround, kWall})
      EXPECT_EQ(index.between(a, b), joint_between(s, a, b));
}

// Asked while joints are being made, it knows those that were made since.
TEST(JointsByBody, FindsTheNewestJointOfTwo) {
  Structure s;
  s.pieces.resize(3);
  const auto of = [](int i) { return body(PieceId{i}); };
  const auto join = [&](Body a, Body b) { s.joints.push_back({JointKind::face, a, b, {}, {}, {}, false, {}}); };
  JointsByBody made;
  EXPECT_FALSE(made.between(s, of(0), of(1)));
  join(of(0), of(1)), join(of(2), of(1));
  EXPECT_EQ(made.between(s, of(1), of(0)), JointId{0});
  EXPECT_EQ(made.between(s, of(1), of(2)), JointId{1});
  join(of(1), of(0)), join(of(2), kGround);
  EXPECT_EQ(made.between(s, of(0), of(1)), JointId{2});
  EXPECT_EQ(made.between(s, kGround, of(2)), JointId{3});
  EXPECT_FALSE(made.between(s, of(0), of(2)));
}

}  // namespace
}  // namespace garthwright
