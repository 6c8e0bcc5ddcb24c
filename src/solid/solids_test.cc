// SPDX-License-Identifier: Apache-2.0
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <BRepAlgoAPI_Common.hxx>
#include <TopoDS_Shape.hxx>
#include <cmath>
#include <limits>

#include "solid/example_stand.h"
#include "solid/kernel.h"
#include "solid/solid.h"

namespace garthwright::solid {
namespace {

using example::find;
using example::kBeamWide;
using example::kBraceWide;
using example::kThick;

double area_between(const std::vector<Contact>& contacts, Body a, Body b) {
  double sum = 0;
  for (const Contact& c : contacts) {
    if ((c.a == a && c.b == b) || (c.a == b && c.b == a)) sum += c.area_mm2;
  }
  return sum;
}

std::vector<std::string> codes(const Diagnostics& all) {
  std::vector<std::string> out;
  for (const Diagnostic& d : all) out.push_back(d.code);
  return out;
}

TEST(Solids, AStandThatFitsHasNoClash) {
  const Structure s = example::stand();
  const Solids solids(s);
  EXPECT_TRUE(solids.clashes().empty());
  EXPECT_TRUE(solids.diagnostics().empty());
}

TEST(Solids, ContactsAreTheFacesThatMeet) {
  const Structure s = example::stand();
  const Solids solids(s);
  const auto contacts = solids.contacts();
  const Body left = find(s, "left post"), beam = find(s, "beam"), brace = find(s, "brace"), rail = find(s, "rail");
  EXPECT_NEAR(area_between(contacts, left, rail), 95 * kThick, 1e-6);
  EXPECT_NEAR(area_between(contacts, left, beam), kThick * kThick, 1e-6);
  EXPECT_NEAR(area_between(contacts, left, brace), kBraceWide * std::sqrt(2.0) * kThick, 1e-6);
  EXPECT_NEAR(area_between(contacts, beam, brace), kBraceWide * std::sqrt(2.0) * kThick, 1e-6);
  // A rafter in its notch: both notch floors in one plane, two cheeks of the beam's notch, two of the rafter's.
  const double floor = kThick * kThick, cheeks = 4 * kThick * 20;
  EXPECT_NEAR(area_between(contacts, beam, find(s, "rafter 2")), floor + cheeks, 1e-6);
  EXPECT_EQ(area_between(contacts, find(s, "rafter 1"), find(s, "rafter 2")), 0);
}

TEST(Solids, AContactPointsFromAToBAtItsCentre) {
  const Structure s = example::stand();
  const auto contacts = Solids(s).contacts();
  const Body left = find(s, "left post"), rail = find(s, "rail");
  for (const Contact& c : contacts) {
    if (c.a != left || c.b != rail) continue;
    EXPECT_NEAR(norm(c.normal - Vec3{1, 0, 0}), 0, 1e-12);
    EXPECT_NEAR(norm(c.point - Vec3{kThick, 60, 1000 + 95 / 2.0}), 0, 1e-9);
    return;
  }
  ADD_FAILURE() << "the post and the rail do not touch";
}

TEST(Solids, APostPushedIntoTheBeamClashesByWhatTheKernelSays) {
  Structure s = example::stand();
  s.pieces[0].frame.origin.z += 7;
  const Solids solids(s);
  const auto clashes = solids.clashes();
  const Body left = find(s, "left post"), beam = find(s, "beam");
  bool found = false;
  for (const Clash& c : clashes) {
    if (c.a != left || c.b != beam) continue;
    found = true;
    EXPECT_NEAR(c.volume_mm3, kThick * kThick * 7, 1e-6);
    const TopoDS_Shape common = BRepAlgoAPI_Common(kernel_placed(solids.shape(left), frame_of(s, left)),
                                                   kernel_placed(solids.shape(beam), frame_of(s, beam)))
                                    .Shape();
    EXPECT_NEAR(kernel_measures(common).volume_mm3, c.volume_mm3, 1e-3);
  }
  EXPECT_TRUE(found);
}

TEST(Solids, AHundredthOfAMillimetreIsTouching) {
  for (const auto& [shift, clash] : {std::pair{0.009, false}, std::pair{0.011, true}}) {
    Structure s = example::stand();
    s.pieces[2].frame.origin.x -= shift;  // the rail into the left post; it leaves the right one
    const Solids solids(s);
    EXPECT_EQ(!solids.clashes().empty(), clash) << shift;
    EXPECT_EQ(area_between(solids.contacts(), find(s, "rail"), find(s, "right post")) > 0, !clash) << shift;
  }
}

TEST(Solids, MeetingsDoNotDependOnWhereTheStandStands) {
  const Structure s = example::stand();
  Structure turned = s;
  const Frame move{{1234.5, -321, 77}, {cosd(33), sind(33), 0}, {-sind(33), cosd(33), 0}, {0, 0, 1}};
  const auto turn = [&](Frame& f) {
    f = {move.to_world(f.origin), move.direction_to_world(f.x), move.direction_to_world(f.y),
         move.direction_to_world(f.z)};
  };
  for (Piece& p : turned.pieces) turn(p.frame);
  for (Panel& p : turned.panels) turn(p.frame);
  const auto here = Solids(s).contacts(), there = Solids(turned).contacts();
  ASSERT_EQ(here.size(), there.size());
  double sum_here = 0, sum_there = 0;
  for (const Contact& c : here) sum_here += c.area_mm2;
  for (const Contact& c : there) sum_there += c.area_mm2;
  EXPECT_NEAR(sum_here, sum_there, 1e-6 * sum_here);
  EXPECT_TRUE(Solids(turned).clashes().empty());
}

TEST(Solids, EqualPiecesShareOneShape) {
  const Structure s = example::stand();
  const Solids solids(s);
  EXPECT_TRUE(solids.shape(find(s, "left post")).IsSame(solids.shape(find(s, "right post"))));
  EXPECT_FALSE(solids.shape(find(s, "left post")).IsSame(solids.shape(find(s, "rail"))));
}

TEST(Solids, TrianglesCloseAroundTheVolume) {
  const Structure s = example::stand();
  const Solids solids(s);
  for (int i = 0; i < static_cast<int>(s.pieces.size()); ++i) {
    const Mesh& mesh = solids.mesh(body(PieceId{i}), 0.05);
    double six = 0;
    for (const auto& t : mesh.triangles) {
      six += dot(mesh.points[t[0]], cross(mesh.points[t[1]], mesh.points[t[2]]));
    }
    const double exact = solids.measures(body(PieceId{i})).volume_mm3;
    EXPECT_NEAR(six / 6, exact, 1e-4 * exact) << s.pieces[static_cast<std::size_t>(i)].name;
  }
  // The beam: 8 corners of notches and ends above, the arcs below; a box has 12 sharp edges.
  EXPECT_EQ(solids.mesh(find(s, "left post")).edges.size(), 12U);
}

TEST(Solids, AMeshIsTheSameWhicheverWasAskedForFirst) {
  const Structure s = example::stand();
  const Body beam = find(s, "beam");
  const Solids coarse_first(s), fine_first(s);
  coarse_first.mesh(beam, 2);
  EXPECT_EQ(coarse_first.mesh(beam, 0.05).points, fine_first.mesh(beam, 0.05).points);
  EXPECT_EQ(fine_first.mesh(beam, 2).points, coarse_first.mesh(beam, 2).points);
}

Joint joint(JointKind kind, Body a, Body b, bool bare = false) {
  Joint j;
  j.kind = kind;
  j.a = a;
  j.b = b;
  j.bare = bare;
  return j;
}

// ---- what the geometry says against a structure ---------------------------------------------------------------------

TEST(Check, ContactsWantJointsAndJointsWantFixings) {
  Structure s = example::stand();
  const Body left = find(s, "left post"), rail = find(s, "rail");
  const auto before = check(s, Solids(s));
  EXPECT_THAT(codes(before), testing::Each("no-joint"));
  EXPECT_EQ(before.front().what, "left post A1 touches rail B1 over 4275 mm² without a joint");

  s.joints.push_back(joint(JointKind::butt, left, rail));
  const auto unfixed = check(s, Solids(s));
  EXPECT_EQ(unfixed.size(), before.size());
  EXPECT_EQ(unfixed.back().code, "no-fixing");

  s.joints.back().bare = true;
  EXPECT_EQ(check(s, Solids(s)).size(), before.size() - 1);

  s.joints.back().bare = false;
  Fixing screw;
  screw.through = {left, rail};
  s.fixings.push_back(screw);
  EXPECT_EQ(check(s, Solids(s)).size(), before.size() - 1);
}

TEST(Check, AJointOfBodiesApartIsOpen) {
  Structure s = example::stand();
  s.joints.push_back(joint(JointKind::butt, find(s, "left post"), find(s, "right post"), true));
  EXPECT_THAT(codes(check(s, Solids(s))), testing::Contains("no-contact"));
}

TEST(Check, TheGroundIsNotAskedToTouch) {
  Structure s = example::stand();
  const auto before = check(s, Solids(s)).size();
  s.joints.push_back(joint(JointKind::in_ground, find(s, "left post"), kGround));
  EXPECT_EQ(check(s, Solids(s)).size(), before);
}

// ---- odd machining never stops the work -----------------------------------------------------------------------------

Diagnostics said_of(Piece piece) {
  Structure s;
  s.pieces.push_back(std::move(piece));
  const Solids solids(s);
  const Body it = body(PieceId{0});
  // Everything must answer, whatever it is.
  (void)solids.shape(it);
  (void)solids.measures(it);
  (void)solids.mesh(it);
  (void)solids.project(isometric_view(), true);
  (void)solids.contacts();
  return solids.diagnostics();
}

Piece bar(double length, double width, double thickness) {
  Piece p = example::piece("bar", "A1", Role::other, length, width, Frame{});
  p.thickness = thickness;
  return p;
}

TEST(OddMachining, SizesThatAreNone) {
  EXPECT_THAT(codes(said_of(bar(1000, 100, 0))), testing::ElementsAre("no-size"));
  EXPECT_THAT(codes(said_of(bar(-5, 100, 50))), testing::ElementsAre("no-size"));
  EXPECT_THAT(codes(said_of(bar(std::nan(""), 100, 50))), testing::ElementsAre("no-size"));
  EXPECT_THAT(codes(said_of(bar(std::numeric_limits<double>::infinity(), 100, 50))), testing::ElementsAre("no-size"));
}

TEST(OddMachining, ANotchThatCutsThePieceThrough) {
  Piece p = bar(1000, 100, 50);
  p.machining.push_back(example::notch({{400, 0, 0}, {450, 100, 50}}, Face::edge_low));
  EXPECT_THAT(codes(said_of(p)), testing::ElementsAre("cut-apart"));
  // The same from two sides, neither of them through alone.
  Piece q = bar(1000, 100, 50);
  q.machining.push_back(example::notch({{400, 0, 0}, {450, 100, 25}}, Face::side_low));
  q.machining.push_back(example::notch({{400, 0, 25}, {450, 60, 50}}, Face::edge_low));
  q.machining.push_back(example::notch({{400, 60, 25}, {450, 100, 50}}, Face::edge_high));
  EXPECT_THAT(codes(said_of(q)), testing::ElementsAre("cut-apart"));
}

TEST(OddMachining, NothingLeft) {
  Piece p = bar(1000, 100, 50);
  p.machining.push_back(EndCut{End::finish, {-1, 0, 0}, {1, 0, 0}});
  EXPECT_THAT(codes(said_of(p)), testing::ElementsAre("nothing-left"));
  Piece q = bar(1000, 100, 50);
  q.machining.push_back(example::notch({{-10, -10, -10}, {2000, 200, 200}}, Face::edge_low));
  EXPECT_THAT(codes(said_of(q)), testing::ElementsAre("nothing-left"));
}

TEST(OddMachining, CutsWithoutDirectionNotchesOutsideHolesWithoutSize) {
  Piece p = bar(1000, 100, 50);
  p.machining.push_back(EndCut{End::finish, {0, 0, 0}, {0, 0, 0}});
  p.machining.push_back(example::notch({{2000, 0, 0}, {2100, 10, 50}}, Face::edge_low));
  p.machining.push_back(Hole{Hole::Kind::bolt, {100, 50, 0}, {0, 0, 1}, -3, 0, true});
  p.machining.push_back(Hole{Hole::Kind::bolt, {100, 50, 0}, {0, 0, 0}, 10, 0, true});
  EXPECT_THAT(codes(said_of(p)), testing::ElementsAre("bad-cut", "bad-notch", "bad-hole", "bad-hole"));
}

TEST(OddMachining, ShapedEndsTooLongOrTorn) {
  Piece p = bar(80, 100, 50);
  p.machining.push_back(example::quarter_round(End::finish, 80, 100, 100));
  EXPECT_THAT(codes(said_of(p)), testing::ElementsAre("bad-shape"));
  Piece torn = bar(1000, 100, 50);
  ShapedEnd end = example::quarter_round(End::finish, 1000, 100, 100);
  end.strokes[0].x += 7;
  torn.machining.push_back(end);
  EXPECT_THAT(codes(said_of(torn)), testing::ElementsAre("bad-shape"));
  Piece empty = bar(1000, 100, 50);
  empty.machining.push_back(ShapedEnd{End::finish, "none", 0, 0, {}});
  EXPECT_THAT(codes(said_of(empty)), testing::ElementsAre("bad-shape"));
}

}  // namespace
}  // namespace garthwright::solid
