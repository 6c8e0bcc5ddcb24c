// SPDX-License-Identifier: Apache-2.0
#include "marking/squareness.h"

#include <gtest/gtest.h>

#include <cmath>

#include "structure/joinery.h"
#include "structure/marks.h"

namespace garthwright::marking {
namespace {

/// A side of two posts, 610 + gap apart, and two rails, with a panel of 610 × 1800 between them.
Structure side(double gap) {
  Structure s;
  s.name = "arbor";
  s.sections.resize(1);
  Assembly assembly{"left side", {}, true};
  const auto put = [&](const char* name, double length, Way runs, Way wide, double y, double z) {
    Placing p;
    p.name = name;
    p.section = SectionId{0};
    p.length = length;
    p.width = 90;
    p.thickness = 40;
    p.runs = runs;
    p.wide = wide;
    p.low = {Traced(0.0), Traced(y), Traced(z)};
    assembly.bodies.push_back(body(place(s, p).value()));
  };
  put("post", 2700, Way::up, Way::back, 0, -600);
  put("post", 2700, Way::up, Way::back, 90 + 610 + gap, -600);
  put("rail", 610 + gap, Way::back, Way::up, 90, 100);
  put("rail", 610 + gap, Way::back, Way::up, 90, 1990);
  Panel panel;
  panel.width = 610, panel.height = 1800, panel.thickness = 30;
  panel.frame = {{5, 90, 190}, {0, 1, 0}, {0, 0, 1}, {1, 0, 0}};
  s.panels.push_back(panel);
  assembly.bodies.push_back(body(PanelId{0}));
  s.assemblies.push_back(assembly);
  assign_marks(s);
  return s;
}

// By Pythagoras: 790 wide over the posts, 1980 high over the rails.
TEST(FlatFrames, HaveEqualDiagonals) {
  const auto frames = flat_frames({{side(0)}});
  ASSERT_EQ(frames.size(), 1u);
  EXPECT_DOUBLE_EQ(frames[0].wide, 790);
  EXPECT_DOUBLE_EQ(frames[0].high, 1980);
  EXPECT_NEAR(frames[0].diagonal, std::sqrt(790.0 * 790 + 1980.0 * 1980), 1e-9);
  EXPECT_EQ(frames[0].corners, "outer faces of post A1 and rail B1");
  EXPECT_DOUBLE_EQ(frames[0].panel_gap.value(), 0) << "the panel squares the frame";
}

// Leaned by its gap over the panel's height, the panel's corner touches the post: worked with the sheared corners.
TEST(FlatFrames, MayLeanAsFarAsThePanelHasRoom) {
  const FlatFrame f = flat_frames({{side(6)}}).front();
  EXPECT_DOUBLE_EQ(f.racking.value(), 6);
  const double slope = 6.0 / 1800, lean = slope * 1980;
  const double d1 = std::hypot(796 + lean, 1980), d2 = std::hypot(796 - lean, 1980);
  EXPECT_NEAR(f.diagonals_differ.value(), d1 - d2, 1e-9);
}

// Two rails side by side at one level, as a paired beam, make no rectangle.
TEST(FlatFrames, NeedMembersApart) {
  Structure s = side(0);
  for (const int i : {2, 3}) s.pieces[static_cast<std::size_t>(i)].frame.origin.z = 1990;
  EXPECT_TRUE(flat_frames({{s}}).empty());
}

TEST(FlatFrames, NeedMembersBothWays) {
  Structure s = side(0);
  s.assemblies[0].bodies.resize(2);
  EXPECT_TRUE(flat_frames({{s}}).empty());
}

}  // namespace
}  // namespace garthwright::marking
