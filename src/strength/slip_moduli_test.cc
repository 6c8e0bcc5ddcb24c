// SPDX-License-Identifier: Apache-2.0
#include "strength/slip_moduli.h"

#include <gtest/gtest.h>

namespace garthwright::strength {
namespace {

Fixing fixing(timber::FixingKind kind, double d, double pilot = 0) {
  Fixing f;
  f.kind = kind, f.diameter = d, f.pilot = pilot, f.length = 150, f.direction = {1, 0, 0};
  return f;
}

// EN 1995-1-1 Table 7.1 with mean densities: rho^1.5 d/23, nails without hole rho^1.5 d^0.8/30, doubled beside steel.
TEST(SlipModuli, AreThoseOfTable7_1) {
  const SlipModuli bolt = slip_moduli(fixing(timber::FixingKind::bolt, 10, 11), 420, 420, 0);
  EXPECT_NEAR(bolt.k_ser, 3742.36, 0.4);
  EXPECT_NEAR(bolt.k_u, 2494.91, 0.3);
  EXPECT_NEAR(slip_moduli(fixing(timber::FixingKind::screw, 6, 3.5), 370, 500, 60).k_ser, 2327.03, 0.3);
  EXPECT_NEAR(slip_moduli(fixing(timber::FixingKind::nail, 3.1), 370, 370, 30).k_ser, 586.504, 0.06);
  EXPECT_NEAR(slip_moduli(fixing(timber::FixingKind::nail, 4), 420, 420, 30, true).k_ser, 1739.52, 0.2);
}

TEST(SlipModuli, AlongItselfTheTwoEstimatesAreApart) {
  const SlipModuli k = slip_moduli(fixing(timber::FixingKind::screw, 8, 5), 420, 420, 80);
  EXPECT_NEAR(k.along_soft, 780 * 1.5157 * 5.7708, 5);  // 780 × 8^0.2 × 80^0.4, by hand
  EXPECT_NEAR(k.along_stiff, 25 * 8 * 40, 1e-9);        // 25 d lef, 40 mm of it
  EXPECT_EQ(slip_moduli(fixing(timber::FixingKind::screw, 8, 5), 420, 420, 0).along_stiff, 0);
  EXPECT_GT(slip_moduli(fixing(timber::FixingKind::bolt, 10, 11), 420, 420, 0).along_soft, 1000);
}

TEST(SlipModuli, EndGrainHoldsByRoute) {
  Fixing screw = fixing(timber::FixingKind::screw, 8);
  EXPECT_FALSE(holds_in_end_grain(screw, false).across);
  EXPECT_TRUE(holds_in_end_grain(screw, true).across);
  EXPECT_FALSE(holds_in_end_grain(screw, true).along);
  EXPECT_TRUE(holds_in_end_grain(fixing(timber::FixingKind::coach_screw, 10), true).along);
  screw.make.end_grain_along = 0.3;
  EXPECT_TRUE(holds_in_end_grain(screw, false).along);
}

}  // namespace
}  // namespace garthwright::strength
