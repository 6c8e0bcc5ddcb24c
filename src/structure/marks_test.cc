// SPDX-License-Identifier: Apache-2.0
#include "structure/marks.h"

#include <gtest/gtest.h>

#include <random>

#include "structure/joinery.h"
#include "structure/profile.h"

namespace garthwright {
namespace {

timber::Section sized(const std::string& name, double width, double thickness) {
  timber::Section section;
  section.name = name;
  section.width_mm = width;
  section.thickness_mm = thickness;
  return section;
}

Piece plain(const std::string& name, double length, double width = 95, double thickness = 45) {
  Piece piece;
  piece.name = name;
  piece.section = {0};
  piece.length = length, piece.width = width, piece.thickness = thickness;
  return piece;
}

Notch notch_at(double from, double wide, double deep, bool on_high_edge, const Piece& piece) {
  Notch notch;
  notch.from = from, notch.wide = wide, notch.deep = deep;
  const double width = piece.width.value();
  notch.region = {{from, on_high_edge ? width - deep : 0, 0},
                  {from + wide, on_high_edge ? width : deep, piece.thickness.value()}};
  notch.opens_on = on_high_edge ? Face::edge_high : Face::edge_low;
  return notch;
}

/// Where a point of the piece's material is in the world must not change when it is re-framed.
std::vector<Vec3> notch_corners(const Piece& piece) {
  std::vector<Vec3> corners;
  for (const Machining& m : piece.machining)
    if (const auto* notch = std::get_if<Notch>(&m)) {
      const Box box = world_box(piece.frame, notch->region);
      corners.push_back(box.min);
      corners.push_back(box.max);
    }
  std::sort(corners.begin(), corners.end(),
            [](Vec3 a, Vec3 b) { return std::tie(a.x, a.y, a.z) < std::tie(b.x, b.y, b.z); });
  return corners;
}

TEST(Marks, EqualPiecesTurnedAboutShareAMark) {
  Structure s;
  s.sections.push_back(sized("4x2", 95, 45));
  Piece a = plain("rafter", 1000);
  a.machining.emplace_back(notch_at(200, 45, 25, false, a));
  Piece end_for_end = plain("rafter", 1000);  // a half turn about its thickness: other end, other edge
  end_for_end.machining.emplace_back(notch_at(1000 - 200 - 45, 45, 25, true, end_for_end));
  Piece other = plain("rafter", 1000);
  other.machining.emplace_back(notch_at(210, 45, 25, false, other));
  s.pieces = {a, end_for_end, other};
  const std::vector<Vec3> before = notch_corners(s.pieces[1]);
  assign_marks(s);
  EXPECT_EQ(s.pieces[0].mark, "A1");
  EXPECT_EQ(s.pieces[1].mark, "A1");
  EXPECT_EQ(s.pieces[2].mark, "A2");
  EXPECT_DOUBLE_EQ(std::get<Notch>(s.pieces[1].machining[0]).from.value(), 200);
  const std::vector<Vec3> after = notch_corners(s.pieces[1]);
  for (std::size_t i = 0; i < before.size(); ++i) EXPECT_LT(norm(before[i] - after[i]), 1e-9);
}

TEST(Marks, MirrorImagesAreNotEqual) {
  Structure s;
  s.sections.push_back(sized("4x2", 95, 45));
  // Notches on one edge near the start and on one side near the finish: left- and right-handed.
  const auto handed = [](bool right) {
    Piece p = plain("post", 1000);
    p.machining.emplace_back(notch_at(100, 45, 20, right, p));
    Notch side;
    side.region = {{800, 0, 0}, {850, 95, 10}};
    side.opens_on = Face::side_low;
    side.from = 800, side.wide = 50, side.deep = 10;
    p.machining.emplace_back(side);
    return p;
  };
  s.pieces = {handed(false), handed(true)};
  assign_marks(s);
  EXPECT_EQ(s.pieces[0].mark, "A1");
  EXPECT_EQ(s.pieces[1].mark, "A2");
}

TEST(Marks, ShapedEndsTurnOverToo) {
  Structure s;
  s.sections.push_back(sized("6x2", 145, 45));
  const Profile ogee = *named_profile("ogee");
  Piece a = plain("beam", 2000, 145), b = a;
  a.machining.emplace_back(shaped_end(ogee, End::start, 2000, 145, false));
  b.machining.emplace_back(shaped_end(ogee, End::finish, 2000, 145, true));
  Piece c = plain("beam", 2000, 145);
  c.machining.emplace_back(shaped_end(*named_profile("cove"), End::start, 2000, 145, false));
  s.pieces = {a, b, c};
  assign_marks(s);
  EXPECT_EQ(s.pieces[1].mark, "A1");
  EXPECT_EQ(s.pieces[2].mark, "A2");
  const auto& shape = std::get<ShapedEnd>(s.pieces[1].machining[0]);
  const auto& first = std::get<ShapedEnd>(s.pieces[0].machining[0]);
  ASSERT_EQ(shape.strokes.size(), first.strokes.size());
  for (std::size_t i = 0; i < shape.strokes.size(); ++i) {
    EXPECT_NEAR(shape.strokes[i].x, first.strokes[i].x, 1e-9);
    EXPECT_NEAR(shape.strokes[i].y, first.strokes[i].y, 1e-9);
    EXPECT_EQ(shape.strokes[i].clockwise, first.strokes[i].clockwise);
  }
}

// Property: a square post turned in any of its eight ways keeps its mark and its place in the world.
TEST(Marks, AnyWayASquarePostIsTurnedItIsTheSamePost) {
  std::mt19937 random(3);
  for (int i = 0; i < 50; ++i) {
    Structure s;
    s.sections.push_back(sized("4x4", 95, 95));
    const double from = static_cast<double>(random() % 600), deep = 5 + static_cast<double>(random() % 40);
    for (const Face face : {Face::edge_low, Face::edge_high, Face::side_low, Face::side_high}) {
      for (const bool turned : {false, true}) {
        Piece p = plain("post", 1000, 95, 95);
        Notch n;
        const double at = turned ? 1000 - from - 50 : from;
        n.region = {{at, 0, 0}, {at + 50, 95, 95}};
        if (face == Face::edge_low) n.region.max.y = deep;
        if (face == Face::edge_high) n.region.min.y = 95 - deep;
        if (face == Face::side_low) n.region.max.z = deep;
        if (face == Face::side_high) n.region.min.z = 95 - deep;
        n.opens_on = face;
        n.from = at, n.wide = 50, n.deep = deep;
        p.machining.emplace_back(n);
        s.pieces.push_back(p);
      }
    }
    std::vector<std::vector<Vec3>> before;
    for (const Piece& p : s.pieces) before.push_back(notch_corners(p));
    assign_marks(s);
    for (std::size_t k = 0; k < s.pieces.size(); ++k) {
      EXPECT_EQ(s.pieces[k].mark, "A1");
      const std::vector<Vec3> after = notch_corners(s.pieces[k]);
      for (std::size_t c = 0; c < after.size(); ++c) EXPECT_LT(norm(before[k][c] - after[c]), 1e-9);
    }
  }
}

TEST(Marks, LettersGoOnAfterZ) {
  Structure s;
  s.sections.push_back(sized("4x2", 95, 45));
  for (int i = 0; i < 28; ++i) s.pieces.push_back(plain("kind " + std::to_string(i), 100));
  EXPECT_EQ(assign_marks(s), 28);
  EXPECT_EQ(s.pieces[25].mark, "Z1");
  EXPECT_EQ(s.pieces[26].mark, "AA1");
  EXPECT_EQ(marks(s).back().mark, "AB1");
}

}  // namespace
}  // namespace garthwright
