// SPDX-License-Identifier: Apache-2.0
#include "structure/joint_index.h"

#include <gtest/gtest.h>

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
}

}  // namespace
}  // namespace garthwright
