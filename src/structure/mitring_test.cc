// SPDX-License-Identifier: Apache-2.0
#include "structure/mitring.h"

#include <gtest/gtest.h>

#include "structure/joinery.h"
#include "structure/polygon.h"
#include "structure/saw.h"

namespace garthwright {
namespace {

PieceId bar(Structure& s, const char* name, Way runs, double length, double width, Vec3 low) {
  return *place(s, {name,
                    "",
                    "",
                    Role::other,
                    SectionId{0},
                    length,
                    width,
                    30.0,
                    runs,
                    runs == Way::right ? Way::back : Way::right,
                    {low.x, low.y, low.z}});
}

// Two boards 100 wide and 30 thick lie flat round a corner: the cut is at 45°, 100 √2 long and 30 high.
TEST(Mitre, CutsBothFromTheInnerToTheOuterCorner) {
  Structure s;
  const PieceId along = bar(s, "front", Way::right, 1000, 100, {0, 0, 0});
  const PieceId across = bar(s, "side", Way::back, 800, 100, {0, 0, 0});
  const Result<JointId> joint = mitre(s, along, across);
  ASSERT_TRUE(joint) << joint.error().front().what;
  EXPECT_EQ(s[*joint].kind, JointKind::mitre);
  EXPECT_NEAR(area(s[*joint].patch), 100 * std::sqrt(2.0) * 30, 1e-6);
  for (const PieceId id : {along, across}) {
    ASSERT_EQ(s[id].machining.size(), 1U);
    const SawSetting saw = saw_setting(std::get<EndCut>(s[id].machining.front()));
    EXPECT_NEAR(std::abs(saw.mitre_deg), 45, 1e-9);
    EXPECT_NEAR(saw.bevel_deg, 0, 1e-9);
  }
}

// 100 against 60: atan(60 / 100) = 30.96° on one, the rest of the right angle on the other.
TEST(Mitre, OfTwoWidthsIsNotAt45) {
  Structure s;
  const PieceId wide = bar(s, "front", Way::right, 1000, 100, {0, 0, 0});
  const PieceId narrow = bar(s, "side", Way::back, 800, 60, {940, 0, 0});
  ASSERT_TRUE(mitre(s, wide, narrow));
  EXPECT_NEAR(std::abs(saw_setting(std::get<EndCut>(s[wide].machining.front())).mitre_deg), 30.9638, 1e-4);
  EXPECT_NEAR(std::abs(saw_setting(std::get<EndCut>(s[narrow].machining.front())).mitre_deg), 59.0362, 1e-4);
}

TEST(Mitre, RefusesWhatIsNoCorner) {
  Structure s;
  const PieceId along = bar(s, "front", Way::right, 1000, 100, {0, 0, 0});
  const PieceId tee = bar(s, "side", Way::back, 800, 100, {400, 0, 0});
  const PieceId apart = bar(s, "far", Way::back, 800, 100, {0, 200, 0});
  EXPECT_EQ(mitre(s, along, tee).error().front().what,
            "front and side do not end in one corner, square to each other and of one height there");
  EXPECT_EQ(mitre(s, along, apart).error().front().what, "front and far share no corner to mitre");
  EXPECT_TRUE(s[along].machining.empty());
}

}  // namespace
}  // namespace garthwright
