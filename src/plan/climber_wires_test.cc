// SPDX-License-Identifier: Apache-2.0
#include "plan/climber_wires.h"

#include <gmock/gmock.h>

#include "pattern/patterns_for_tests.h"
#include "strength/climbers.h"

namespace garthwright {
namespace {

using pattern::testing::built;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::SizeIs;

const Structure& pergola() {
  static const Structure made =
      built("pergola", "length = 3600\ndepth = 2700\nheight = 2300\nrafters = 7\npurlins = 0");
  return made;
}

TEST(ClimberWires, EveryClimberIsKnown) {
  for (const strength::climbers::Climber& climber : strength::climbers::climbers())
    EXPECT_NE(support_of(climber.kind), nullptr) << climber.kind;
}

TEST(ClimberWires, AreCountedUpThePostsAndOverTheRoof) {
  // Six posts end 2300 + 195 − 12 − 10 above the ground (a beam of 195, a seat of a tenth of 120, 10 clear): 2173 from
  // 300 on. Rafters of 45, the outer ones flush with 3600: 592.5 apart. Wisteria asks 450: one wire between two of
  // them, six in all.
  const Wires wires = wires_for(pergola(), *support_of("wisteria"));
  EXPECT_EQ(wires.posts, 6);
  EXPECT_NEAR(wires.gap_mm, 592.5, 0.01);
  EXPECT_EQ(wires.roof, 6);
  double rafter = 0;
  for (const Piece& piece : pergola().pieces)
    if (piece.name == "rafter") rafter = piece.length.value();
  EXPECT_NEAR(wires.length_m, (6 * 2 * 2173 + 6 * rafter) / 1000, 0.001);
  // Eyes: ⌈2173 / 600⌉ + 1 = 5 on each of 12 wires; ⌈rafter / 1800⌉ + 1 on each of 6.
  EXPECT_EQ(wires.eyes, 12 * 5 + 6 * (static_cast<int>(std::ceil(rafter / 1800)) + 1));
}

TEST(ClimberWires, NoneForWhatClings) { EXPECT_EQ(wires_for(pergola(), *support_of("ivy")).eyes, 0); }

TEST(ClimberWires, AreToldWhereSomebodyChoseTheClimber) {
  Structure named = pergola();
  Site site;
  EXPECT_THAT(climber_wires({{named}}, site, false), IsEmpty());
  EXPECT_THAT(climber_wires({{named}}, site, true), SizeIs(1));
  named.climber = "wisteria";
  const Diagnostics told = climber_wires({{named}}, site, false);
  ASSERT_THAT(told, SizeIs(1));
  EXPECT_THAT(told[0].what, HasSubstr("wisteria twines"));
  EXPECT_THAT(told[0].cure, HasSubstr("wire of 3 mm and 78 screw eyes"));
  site.print.units = Units::feet_inches;
  EXPECT_THAT(climber_wires({{named}}, site, false)[0].what,
              HasSubstr("from 12 in above the ground, an eye every 24 in"));
  EXPECT_THAT(climber_wires({{named}}, site, false)[0].cure, HasSubstr("wire of 0.12 in and 78 screw eyes"));
  named.climber = "none";
  EXPECT_THAT(climber_wires({{named}}, site, false), IsEmpty());
}

}  // namespace
}  // namespace garthwright
