// SPDX-License-Identifier: Apache-2.0
#include "assembly/tilt.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "assembly/test_shapes.h"

namespace garthwright::assembly {
namespace {

using testing::Random;

/// A panel 18 thick and 600 high between a sill groove and a deeper head groove, both `width` wide. The head is
/// `lip` deep, the sill 10; the panel stands in the sill and reaches 10 into the head.
Section frame_with_grooves(double width, double lip) {
  const double head = 590;
  return {{{-60, -40, 60, 0},
           {-60, 0, -width / 2, 10},
           {width / 2, 0, 60, 10},
           {-60, head, -width / 2, head + lip},
           {width / 2, head, 60, head + lip},
           {-60, head + lip, 60, head + lip + 40}},
          {-9, 0, 9, 600}};
}

Section mirrored(Section s) {
  const auto flip = [](Rectangle& r) { r = {-r.y1, r.z0, -r.y0, r.z1}; };
  for (Rectangle& r : s.still) flip(r);
  flip(s.panel);
  return s;
}

Section moved(Section s, double dy, double dz) {
  const auto move = [&](Rectangle& r) { r = {r.y0 + dy, r.z0 + dz, r.y1 + dy, r.z1 + dz}; };
  for (Rectangle& r : s.still) move(r);
  move(s.panel);
  return s;
}

void expect_tilts_out(const Section& s) {
  const TiltResult result = tilt_out(s);
  EXPECT_FALSE(result.by_shifts_alone);
  ASSERT_TRUE(result.way_out);
  EXPECT_EQ(fault_in_way_out(s, *result.way_out).value_or("right"), "right");
  EXPECT_EQ(result.way_out->front(), Pose{});
}

TEST(Tilt, APanelIsLiftedIntoTheDeepGrooveAndSwungOut) {
  const Section s = frame_with_grooves(26, 30);
  expect_tilts_out(s);
  expect_tilts_out(mirrored(s));
  expect_tilts_out(moved(s, 1234.567, -89.125));
}

TEST(Tilt, WithTooShallowAHeadItStays) {
  const TiltResult result = tilt_out(frame_with_grooves(20, 14));
  EXPECT_FALSE(result.by_shifts_alone);
  EXPECT_FALSE(result.way_out);
}

TEST(Tilt, WithoutALipShiftsDo) {
  Section s = frame_with_grooves(26, 30);
  s.still.erase(s.still.begin() + 2);  // the sill is open to one side
  s.still.erase(s.still.begin() + 3);  // and so is the head
  const TiltResult result = tilt_out(s);
  EXPECT_TRUE(result.by_shifts_alone);
  ASSERT_TRUE(result.way_out);
  for (const Pose& p : *result.way_out) EXPECT_EQ(p.deg, 0);
  EXPECT_FALSE(fault_in_way_out(s, *result.way_out));
}

TEST(Tilt, SeveralShiftsWithoutATurn) {
  // Up out of a pocket, sideways, and up again past an overhang.
  const Section s{{{-100, -20, 100, 0}, {-30, 0, -10, 60}, {10, 0, 30, 60}, {-10, 130, 200, 150}, {-100, 0, -90, 400}},
                  {-10, 0, 10, 50}};
  const TiltResult result = tilt_out(s);
  EXPECT_TRUE(result.by_shifts_alone);
  ASSERT_TRUE(result.way_out);
  EXPECT_FALSE(fault_in_way_out(s, *result.way_out));
}

TEST(Tilt, ALongBoardGoesRoundACornerOnlyWhenTurned) {
  // Up a shaft 100 wide that bends level above: 200 fits round when it turns, not when it only shifts.
  const Section s{{{-100, -20, 100, 0}, {-100, 0, -50, 400}, {50, 0, 300, 260}, {-100, 400, 400, 420}},
                  {-10, 0, 10, 270}};
  const TiltResult result = tilt_out(s);
  EXPECT_FALSE(result.by_shifts_alone);
  ASSERT_TRUE(result.way_out);
  EXPECT_FALSE(fault_in_way_out(s, *result.way_out));
}

TEST(WayOut, IsJudgedLegByLeg) {
  const Section s = frame_with_grooves(26, 30);
  EXPECT_EQ(*fault_in_way_out(s, {}), "does not start at rest");
  EXPECT_EQ(*fault_in_way_out(s, {{0, 1, 0}}), "does not start at rest");
  EXPECT_EQ(*fault_in_way_out(s, {{0, 0, 0}, {500, 0, 0}}), "leg 1 runs into rectangle 3");
  EXPECT_EQ(*fault_in_way_out(s, {{0, 0, 0}, {0, 20.1, 0}}), "leg 1 runs into rectangle 6");
  EXPECT_EQ(*fault_in_way_out(s, {{0, 0, 0}, {0, 20, 0}}), "at the end rectangle 1 still stands beside the panel");
}

TEST(WayOut, AMutantIsRefused) {
  const Section s = frame_with_grooves(26, 30);
  const auto way = *tilt_out(s).way_out;
  for (std::size_t k = 1; k < way.size(); ++k) {
    std::vector<Pose> mutant = way;
    mutant[k].deg = -mutant[k].deg;
    // With a real turn reversed the panel swings the wrong way.
    if (std::abs(way[k].deg) > 3 && k + 2 < way.size()) {
      EXPECT_TRUE(fault_in_way_out(s, mutant)) << k;
    }
  }
  std::vector<Pose> straight{way.front(), way.back()};
  EXPECT_TRUE(fault_in_way_out(s, straight));
}

/// What the judge says against looking at two hundred instants of each leg.
TEST(WayOut, AgreesWithLookingOften) {
  Random random(23);
  Section s = frame_with_grooves(26, 30);
  s.panel.z0 = 0.5;  // clear of the sill at rest, so that a clear leg is clear by more than nothing
  int clear = 0, not_clear = 0;
  for (int round = 0; round < 80; ++round) {
    const Pose to{random.between(-3, 3), random.between(0, 22), random.between(-0.5, 0.5)};
    const auto fault = fault_in_way_out(s, {{}, to});
    const bool judged_clear = fault->find("runs into") == std::string::npos;
    double deepest = 1e9;
    for (int k = 0; k <= 200; ++k) {
      const double t = k / 200.0, a = t * to.deg * 3.14159265358979 / 180;
      for (const Rectangle& r : s.still) {
        // Points of the panel inside a rectangle, and corners of a rectangle inside the panel.
        const auto point_depth = [](double y, double z, const Rectangle& box) {
          return std::min(std::min(y - box.y0, box.y1 - y), std::min(z - box.z0, box.z1 - z));
        };
        double most = -1e9;
        for (int p = 0; p <= 600; p += 6) {
          for (double side : {-9.0, 9.0}) {
            const double y = side, z = std::max(p - 600.0, -599.5);
            most = std::max(most, point_depth(std::cos(a) * y - std::sin(a) * z + t * to.dy,
                                              600 + std::sin(a) * y + std::cos(a) * z + t * to.dz, r));
          }
        }
        for (const auto& [cy, cz] : {std::pair{r.y0, r.z0}, {r.y1, r.z0}, {r.y0, r.z1}, {r.y1, r.z1}}) {
          const double y = cy - t * to.dy, z = cz - 600 - t * to.dz;
          most = std::max(
              most, point_depth(std::cos(a) * y + std::sin(a) * z, 600 - std::sin(a) * y + std::cos(a) * z, s.panel));
        }
        deepest = std::min(deepest, -most);
      }
    }
    if (std::abs(deepest) < 0.05) continue;  // too close for looking at points
    EXPECT_EQ(judged_clear, deepest > 0) << to.dy << " " << to.dz << " " << to.deg << " depth " << deepest;
    (judged_clear ? clear : not_clear)++;
  }
  EXPECT_GT(clear, 8);
  EXPECT_GT(not_clear, 8);
}

}  // namespace
}  // namespace garthwright::assembly
