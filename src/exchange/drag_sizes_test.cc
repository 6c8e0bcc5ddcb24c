// SPDX-License-Identifier: Apache-2.0
#include "exchange/drag_sizes.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace garthwright::exchange {
namespace {

/// Two posts `opening` apart, and a beam over them that overhangs them by `overhang`.
Structure two_posts_and_a_beam() {
  const Traced opening = Traced::named("opening", 1200, "choice"), overhang = Traced::named("overhang", 150, "default");
  const Traced thick = Traced::named("post thickness", 90, "yard"), high = Traced::named("height", 2000, "choice");
  Structure structure;
  structure.choices = {{"opening", "1200 mm", opening, "job", 500, 4000},
                       {"height", "2000 mm", high, "job", 600, 3500},
                       {"overhang", "150 mm", overhang, "default", 0, 600}};
  const auto post = [&](Traced x) {
    Piece piece;
    piece.show = Show::faces;
    piece.length = high + Traced(600);
    piece.width = piece.thickness = thick;
    piece.frame = {{x.value(), 0, -600}, {0, 0, 1}, {1, 0, 0}, {0, 1, 0}};
    piece.corner = {x, Traced(0), Traced(-600)};
    structure.pieces.push_back(piece);
  };
  post(-thick);
  post(opening);
  Piece beam;
  beam.role = Role::beam;
  beam.length = opening + 2 * thick + 2 * overhang;
  beam.width = Traced(140);
  beam.thickness = Traced(45);
  const Traced left = -thick - overhang;
  beam.frame = {{left.value(), 22.5, 2000}, {1, 0, 0}, {0, 0, 1}, {0, -1, 0}};
  beam.corner = {left, Traced(22.5), high};
  structure.pieces.push_back(beam);
  return structure;
}

const DragSize* find(const std::vector<DragSize>& sizes, const std::string& name) {
  for (const DragSize& size : sizes)
    if (size.name == name) return &size;
  return nullptr;
}

TEST(DragSizes, AChoiceIsTakenHoldOfWhereItLiesBetweenTwoFaces) {
  const std::vector<DragSize> sizes = drag_sizes(two_posts_and_a_beam());
  const DragSize* opening = find(sizes, "opening");
  ASSERT_NE(nullptr, opening);
  EXPECT_EQ(0, opening->axis);
  EXPECT_EQ((Vec3{0, 0, 1000}), opening->from);  // between the posts' inner faces, half-way up above the ground
  EXPECT_EQ((Vec3{1200, 0, 1000}), opening->to);
  EXPECT_EQ("opening", opening->choice);
  EXPECT_EQ(1, opening->per);
  EXPECT_EQ(4000, opening->most);
  const DragSize* height = find(sizes, "height");
  ASSERT_NE(nullptr, height);
  EXPECT_EQ(0, height->from.z);
  EXPECT_EQ(2000, height->to.z);
}

TEST(DragSizes, OverallSizesFollowTheFirstChoiceTheyRestOnByItsFactor) {
  const std::vector<DragSize> sizes = drag_sizes(two_posts_and_a_beam());
  const DragSize* width = find(sizes, "overall width");
  ASSERT_NE(nullptr, width);
  EXPECT_EQ(1200 + 2 * 90 + 2 * 150, width->to.x - width->from.x);
  EXPECT_EQ("opening", width->choice);
  EXPECT_EQ(1, width->per);
  const DragSize* height = find(sizes, "overall height");
  EXPECT_EQ(0, height->from.z);
  EXPECT_EQ(2140, height->to.z);
  EXPECT_EQ("height", height->choice);
  EXPECT_EQ("", find(sizes, "overall depth")->choice);  // the posts' own size: no choice moves it
}

TEST(DragSizes, AnEqualLengthThatIsNoChoiceIsNotTakenForOne) {
  Structure structure = two_posts_and_a_beam();
  structure.choices[2].value = Traced::named("overhang", 90, "default");  // as wide as a post is thick, by chance
  EXPECT_EQ(nullptr, find(drag_sizes(structure), "overhang"));
}

TEST(DragSizes, APieceThatStandsAskewStillCountsForTheWhole) {
  Structure structure = two_posts_and_a_beam();
  Piece brace = structure.pieces[2];
  brace.frame = {{1300, 0, 2000}, {0.6, 0, 0.8}, {0, 1, 0}, {-0.8, 0, 0.6}};
  structure.pieces.push_back(brace);
  const std::vector<DragSize> sizes = drag_sizes(structure);
  const DragSize* width = find(sizes, "overall width");
  EXPECT_NEAR(1300 + 0.6 * 1680, width->to.x, 1e-9);
  EXPECT_EQ("", width->choice);  // its end is no face square to the axis
  EXPECT_TRUE(drag_sizes(Structure{}).size() == 3);
}

}  // namespace
}  // namespace garthwright::exchange
