// SPDX-License-Identifier: Apache-2.0
#include "solid/lattice.h"

#include <gtest/gtest.h>

#include "solid/solid.h"

namespace garthwright::solid {
namespace {

Panel trellis(double solidity) {
  Panel panel;
  panel.width = 600.0, panel.height = 1800.0, panel.thickness = 36.0;
  panel.solidity = solidity;
  return panel;
}

// 0.36 closed: each way covers 1 - √0.64 = 0.2. Over 600 mm 5 laths of 24, over 1800 mm 13 of 27.69.
TEST(Lattice, CoversWhatThePanelCloses) {
  const std::vector<Box> laths = laths_of(trellis(0.36));
  ASSERT_EQ(laths.size(), 5U + 13U);
  EXPECT_NEAR(laths[0].size().x, 24, 1e-9);
  EXPECT_NEAR(laths[4].max.x, 600, 1e-9);
  EXPECT_NEAR(laths[5].size().y, 360.0 / 13, 1e-9);
  EXPECT_NEAR(laths[17].max.y, 1800, 1e-9);
  EXPECT_NEAR((1 - 5 * 24 / 600.0) * (1 - laths[5].size().y * 13 / 1800), 1 - 0.36, 1e-12);
  EXPECT_TRUE(laths_of(trellis(1)).empty());
}

// As the yard says: laths of 20, 100 from one to the next. Over 600 mm (600 − 20) / 100 = 5.8, so six spaces and seven
// laths, 96.67 apart; over 1800 mm 17.8, 18 spaces.
TEST(Lattice, StandsAsTheYardSays) {
  Panel panel = trellis(0.36);
  panel.lath_mm = 20, panel.mesh_mm = 100;
  const std::optional<Laths> rows = lath_rows(panel);
  ASSERT_TRUE(rows);
  EXPECT_EQ(rows->upright.count, 7);
  EXPECT_NEAR(rows->upright.wide, 20, 1e-12);
  EXPECT_NEAR(rows->upright.every, 580 / 6.0, 1e-9);
  EXPECT_EQ(rows->level.count, 19);
  // Laths of 20 alone: 0.2 of the width wants six of them over 600.
  panel.mesh_mm = 0;
  EXPECT_EQ(lath_rows(panel)->upright.count, 7);  // 580 / 100 rounds to six spaces
  EXPECT_FALSE(lath_rows(trellis(0.95)));
}

// What stands behind it is seen between its laths, and not through them.
TEST(Lattice, IsSeenThrough) {
  Structure s;
  Panel panel = trellis(0.36);
  s.panels.push_back(panel);
  panel.solidity = 1;
  panel.frame.origin = {0, 0, -100};
  panel.width = 600.0, panel.height = 1800.0;
  s.panels.push_back(panel);
  const View view{{0, 0, -1}, {0, 1, 0}};
  const auto seen = [&](const Structure& of) {
    double behind = 0;
    for (const Line& line : Solids(of).project(view, false))
      if (line.body == body(PanelId{1}))
        for (std::size_t i = 0; i + 1 < line.points.size(); ++i)
          behind += std::hypot(line.points[i + 1][0] - line.points[i][0], line.points[i + 1][1] - line.points[i][1]);
    return behind;
  };
  // Its lowest edge runs under the lowest lath; of a smaller one all but what lies under laths shows.
  s.panels[1].width = 300.0, s.panels[1].height = 900.0;
  s.panels[1].frame.origin = {60, 60, -100};
  EXPECT_GT(seen(s), 0.5 * 2 * (300 + 900));
  EXPECT_LT(seen(s), 0.95 * 2 * (300 + 900));
  s.panels[0].solidity = 1;
  EXPECT_NEAR(seen(s), 0, 1e-6);
}

}  // namespace
}  // namespace garthwright::solid
