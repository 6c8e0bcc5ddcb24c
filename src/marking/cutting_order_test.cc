// SPDX-License-Identifier: Apache-2.0
#include "marking/cutting_order.h"

#include <gtest/gtest.h>

#include <cmath>

#include "structure/joinery.h"
#include "structure/marks.h"

namespace garthwright::marking {
namespace {

/// Two beams with rafters halved over both. What holds the beams apart differs from test to test.
struct Frame2 {
  Structure s;
  PieceId front, back;

  PieceId put(const std::string& name, double length, Way runs, Way wide, std::array<double, 3> low) {
    Placing p;
    p.name = name;
    p.section = SectionId{0};
    p.length = length;
    p.width = 95;
    p.thickness = 45;
    p.runs = runs;
    p.wide = wide;
    p.low = {Traced(low[0]), Traced(low[1]), Traced(low[2])};
    return place(s, p).value();
  }
  void join(Body a, Body b, JointKind kind = JointKind::face) {
    Joint joint;
    joint.kind = kind;
    joint.a = a, joint.b = b;
    joint.normal = {0, 1, 0};
    s.joints.push_back(joint);
  }
  Frame2() {
    s.sections.resize(1);
    front = put("front beam", 3000, Way::right, Way::up, {0, 0, 2000});
    back = put("back beam", 3000, Way::right, Way::up, {0, 2000, 2000});
    for (const double x : {500.0, 1500.0}) {
      const PieceId rafter = put("rafter", 2600, Way::back, Way::up, {x, -300, 2050});
      for (const PieceId beam : {front, back}) EXPECT_TRUE(cross(s, Crossing{rafter, beam, Way::down, 0.5, 0}));
    }
  }
  CuttingOrder order() {
    assign_marks(s);
    return cutting_order({{s}});
  }
};

// Each beam on a post of its own: only the ground holds them apart. Two holes of 10 mm, and four timbers' sections and
// cuts (two posts passed, 2 mm² each): √204 = 14.3 mm.
TEST(ToleranceRun, NotchesWaitWhereOnlyTheGroundHoldsTheirPartnersApart) {
  Frame2 f;
  for (const PieceId beam : {f.front, f.back}) {
    const PieceId post = f.put("post", 2600, Way::up, Way::back, {100, f.s[beam].corner[1].value() + 45, -600});
    f.join(body(beam), body(post));
    f.join(body(post), kGround, JointKind::in_ground);
  }
  const CuttingOrder order = f.order();
  ASSERT_EQ(order.in_place.size(), 1u);
  const InPlace& rafter = order.in_place[0];
  EXPECT_EQ(rafter.what, InPlace::What::notches);
  EXPECT_EQ(rafter.count, 2);
  EXPECT_NEAR(rafter.scatter_mm, std::sqrt(204.0), 1e-9);
  EXPECT_EQ(
      rafter.why,
      "from front beam A1 to back beam B1 the sizes run through holes in the ground: known to about 14 mm, a joint "
      "takes up 3 mm");
}

// A tie between the beams holds them: one timber cut on the bench, √2 mm.
TEST(ToleranceRun, NothingWaitsWhereATimberHoldsThemApart) {
  Frame2 f;
  const PieceId tie = f.put("tie", 1955, Way::back, Way::up, {1000, 45, 1950});
  f.join(body(f.front), body(tie));
  f.join(body(tie), body(f.back));
  EXPECT_TRUE(f.order().in_place.empty());
}

TEST(ToleranceRun, AsksForWhatThePatternAsksFor) {
  Frame2 f;
  f.s[f.front].measure_in_place = true;
  const CuttingOrder order = f.order();
  ASSERT_EQ(order.in_place.size(), 1u);
  EXPECT_EQ(order.in_place[0].what, InPlace::What::length);
  for (const StopSetting& stop : order.stops)
    for (const Cut& cut : stop.cuts) EXPECT_NE(cut.mark, order.in_place[0].mark);
}

// As many settings as there are lengths, whatever the names; long before short; nothing left out.
TEST(Stops, AreSetOnceForEachLengthLongestFirst) {
  Frame2 f;
  f.put("batten", 2600, Way::right, Way::up, {0, 0, 100});
  f.put("peg", 400, Way::right, Way::up, {0, 0, 400});
  f.put("stub", 400.02, Way::up, Way::back, {0, 500, 0});
  const CuttingOrder order = f.order();
  std::vector<double> lengths;
  int pieces = 0;
  for (const StopSetting& stop : order.stops) {
    lengths.push_back(std::round(stop.length_mm));
    for (const Cut& cut : stop.cuts) {
      pieces += cut.count;
      EXPECT_NEAR(cut.length_mm, stop.length_mm, 0.051);
    }
  }
  EXPECT_EQ(lengths, (std::vector<double>{3000, 2600, 400}));
  EXPECT_EQ(pieces, static_cast<int>(f.s.pieces.size()));
}

}  // namespace
}  // namespace garthwright::marking
