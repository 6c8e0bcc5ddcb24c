// SPDX-License-Identifier: Apache-2.0
// What must hold of the formulas whatever the numbers: no jump to the unsafe side, no step down where more is more.
#include <gtest/gtest.h>

#include <numbers>
#include <random>

#include "strength/climbers.h"
#include "strength/combinations.h"
#include "strength/ec5_connections.h"
#include "strength/ec5_members.h"
#include "strength/moisture_movement.h"
#include "strength/nds_connections.h"
#include "strength/nds_members.h"
#include "strength/snow.h"
#include "strength/wind_asce.h"
#include "strength/wind_en.h"

namespace garthwright::strength {
namespace {

class RandomNumbers : public ::testing::Test {
 protected:
  double between(double low, double high) { return std::uniform_real_distribution<double>(low, high)(random_); }
  std::mt19937 random_{7};
};

TEST_F(RandomNumbers, SwappingBothMembersOfAJointChangesNothing) {
  for (int i = 0; i < 200; ++i) {
    const ec5::Shear a{
        between(5, 40), between(5, 40), between(10, 120), between(10, 120), between(3, 16), between(1e3, 3e5), 0, 0};
    const ec5::Shear b{a.fh2, a.fh1, a.t2, a.t1, a.d, a.my, 0, 0};
    const auto one = ec5::single_shear(a), two = ec5::single_shear(b);
    EXPECT_NEAR(one.capacity(), two.capacity(), 1e-9 * one.capacity());
    EXPECT_NEAR(one.johansen[3], two.johansen[4], 1e-9 * one.johansen[3]) << "modes d and e change places";
  }
}

TEST_F(RandomNumbers, ThickerTimberNeverMakesAJointWeaker) {
  for (int i = 0; i < 200; ++i) {
    ec5::Shear s{between(5, 40), between(5, 40),    between(10, 120), between(10, 120),
                 between(3, 16), between(1e3, 3e5), between(0, 5000), 0.25};
    const double before = ec5::single_shear(s).capacity(), double_before = ec5::double_shear(s).capacity();
    // Mode c alone may fall as the other member grows; it is never the least then without a or b being so, but for its
    // rope part. Grow both.
    s.t1 *= 1.2, s.t2 *= 1.2;
    EXPECT_GE(ec5::single_shear(s).capacity(), before * (1 - 1e-12));
    EXPECT_GE(ec5::double_shear(s).capacity(), double_before * (1 - 1e-12));
  }
}

TEST_F(RandomNumbers, TheEuropeanAndAmericanYieldModesAreOneTheory) {
  // Both come from Johansen; without factors (1.05, 1.15, Rd) the least of all modes is the same for the same embedment
  // and yield moment. My = Fyb D³/6. Our formulas carry the factors, so the modes are compared one by one.
  for (int i = 0; i < 100; ++i) {
    const double fh1 = between(10, 40), fh2 = between(10, 40), t1 = between(20, 100), t2 = between(20, 100);
    const double d = between(8, 16), fyb = between(200, 600);
    const auto e = ec5::single_shear({fh1, fh2, t1, t2, d, fyb * d * d * d / 6, 0, 0}).johansen;
    const auto n = nds::single_shear({d, d, t2, t1, fh2, fh1, fyb, 0}).modes;  // side = head side, any units
    EXPECT_NEAR(e[0], 4 * n[1], 1e-9 * e[0]);
    EXPECT_NEAR(e[1], 4 * n[0], 1e-9 * e[1]);
    EXPECT_NEAR(e[2], 3.6 * n[2], 1e-9 * e[2]);
    EXPECT_NEAR(e[3] / 1.05, 3.2 * n[4], 1e-9 * e[3]);
    EXPECT_NEAR(e[4] / 1.05, 3.2 * n[3], 1e-9 * e[4]);
    EXPECT_NEAR(e[5] / 1.15, 3.2 * n[5], 1e-9 * e[5]);
  }
}

TEST(Formulas, MoreFoliageNeverMeansLessWind) {
  for (const double wall_08 : {1.2, 1.8})
    for (double last = 0, s = 0; s <= 1.0001; s += 0.005) {
      const double now = wind_en::panel_gross(s, wall_08, wall_08 == 1.2 ? 2.3 : 1.8);
      EXPECT_GE(now, last - 1e-12) << s;
      last = now;
    }
  for (double last = 0, s = 0; s <= 1.0001; s += 0.005) {
    const double now = wind_asce::panel_gross(s, 1.59);
    EXPECT_GE(now, last - 1e-12) << s;
    last = now;
  }
  EXPECT_DOUBLE_EQ(1.8, wind_en::panel_gross(1, 1.8, 1.8));
  EXPECT_DOUBLE_EQ(1.59, wind_asce::panel_gross(1, 1.59));
}

TEST(Formulas, WallsBetweenTheRowsOfTheAmericanTable) {
  EXPECT_NEAR(1.5897, wind_asce::wall(0.381, 1), 1e-4);  // 1.65 at 0.2, 1.55 at 0.5
  EXPECT_DOUBLE_EQ(wind_asce::wall(0.381, 1), wind_asce::wall(0.381, 2)) << "there is no row beyond s = h";
}

TEST(Formulas, HigherIsWindier) {
  for (int t = 0; t < 5; ++t)
    for (double last = 0, z = 0; z < 12; z += 0.1) {
      const double now = wind_en::exposure(static_cast<wind_en::Terrain>(t), z).c_e;
      EXPECT_GE(now, last - 1e-12);
      last = now;
    }
}

TEST(Formulas, SlenderPostsAreWeakerAndCurvesJoin) {
  double last = 1;
  for (double lambda = 1; lambda < 250; lambda += 1) {
    const double kc = ec5::slenderness(lambda, 21, 7400).kc;
    EXPECT_LE(kc, last + 1e-12);
    last = kc;
  }
  for (double at : {0.75, 1.4})
    EXPECT_NEAR(ec5::kcrit(at - 1e-9), ec5::kcrit(at + 1e-9), 3e-3) << "the clause itself is that rough";
  EXPECT_NEAR(ec5::kh(150 - 1e-9), 1, 1e-9);
  // Very slender: both codes tend to Euler.
  EXPECT_NEAR(std::numbers::pi * std::numbers::pi * 7400 / (400.0 * 400), ec5::slenderness(400, 21, 7400).kc * 21,
              0.02);
}

TEST(Formulas, BeamColumnsThatReachEulerHaveNoUtilisation) {
  EXPECT_TRUE(std::isinf(nds::compression_bending(700, 568, 100, 1350, 633.7)));
}

TEST(Formulas, ANotchNeverHelps) {
  for (double hef = 145; hef > 60; hef -= 5) {
    EXPECT_LE(ec5::kv(145, hef, 50), 1);
    EXPECT_LE(ec5::kv(145, hef - 5, 50), ec5::kv(145, hef, 50) + 1e-12);
    EXPECT_LE(ec5::kv(145, hef, 80), ec5::kv(145, hef, 50) + 1e-12) << "farther from the support";
    EXPECT_GE(ec5::kv(145, hef, 50, 3), ec5::kv(145, hef, 50, 0)) << "sloped";
  }
}

TEST(Formulas, FixingsAcrossAndAlongTheGrain) {
  EXPECT_DOUBLE_EQ(ec5::bolt_embedment_along(12, 350), ec5::bolt_embedment(12, 350, 0));
  EXPECT_DOUBLE_EQ(4, ec5::bolts_effective(4, 60, 12, 90)) << "across the grain every bolt counts";
  EXPECT_LT(ec5::bolts_effective(4, 60, 12, 0), 4);
  EXPECT_EQ(0, ec5::smooth_nail_withdrawal(3.1, 6.5, 8 * 3.1, 45, 350)) << "too short to hold";
}

TEST(Formulas, WoodDoesNotMoveAboveFibreSaturation) {
  EXPECT_EQ(moisture::size_at(140, 60), moisture::size_at(140, 30));
  EXPECT_EQ(140, moisture::size_at(140, 20));
  EXPECT_NEAR(140 * (1 - 0.02), moisture::size_at(140, 12), 1e-9) << "8 % drier, by a quarter for each";
}

TEST(Formulas, OvergrownIsDenserThanEither) {
  using climbers::combined_solidity;
  EXPECT_DOUBLE_EQ(0.3, combined_solidity(0.3, 0.85, 0));
  EXPECT_NEAR(0.895, combined_solidity(0.3, 0.85, 1), 1e-12);
  EXPECT_EQ(1, climbers::coverage(9, 7));
  EXPECT_EQ(0, climbers::coverage(0, 7));
  for (const climbers::Climber& c : climbers::climbers()) {
    EXPECT_LE(c.solidity_winter, c.solidity_summer) << c.kind;
    EXPECT_GT(c.wet_mass_kg_m2, 0) << c.kind;
  }
}

TEST(Formulas, EveryCombinationNamesItsClause) {
  for (const auto list : {combinations::en1990_ultimate(), combinations::en1990_equilibrium(),
                          combinations::en1990_serviceability(), combinations::asce_asd(), combinations::asce_lrfd()})
    for (const combinations::Combination& c : list) {
      EXPECT_FALSE(c.clause.empty()) << c.name;
      EXPECT_GT(c.dead, 0) << c.name;
    }
}

TEST(Formulas, SlatsHoldAtLeastHalfTheSnow) {
  EXPECT_EQ(0.5, snow::slat_share(0.3, 120, false));
  EXPECT_EQ(1, snow::slat_share(0.3, 90, false));
  EXPECT_EQ(1, snow::slat_share(0.3, 120, true));
}

}  // namespace
}  // namespace garthwright::strength
