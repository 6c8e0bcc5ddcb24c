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
