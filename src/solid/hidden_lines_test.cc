// SPDX-License-Identifier: Apache-2.0
#include "solid/hidden_lines.h"

#include <gtest/gtest.h>

#include <BRepAdaptor_Curve.hxx>
#include <BRepLib.hxx>
#include <BRep_Builder.hxx>
#include <GCPnts_QuasiUniformDeflection.hxx>
#include <HLRAlgo_Projector.hxx>
#include <HLRBRep_Algo.hxx>
#include <HLRBRep_HLRToShape.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Compound.hxx>
#include <cmath>
#include <gp_Ax2.hxx>

#include "solid/example_stand.h"
#include "solid/kernel.h"

namespace garthwright::solid {
namespace {

using Polyline = std::vector<std::array<double, 2>>;

double length(const Polyline& line) {
  double sum = 0;
  for (std::size_t k = 0; k + 1 < line.size(); ++k) {
    sum += std::hypot(line[k + 1][0] - line[k][0], line[k + 1][1] - line[k][1]);
  }
  return sum;
}

double length(const std::vector<Line>& lines, bool visible) {
  double sum = 0;
  for (const Line& line : lines) sum += line.visible == visible ? length(line.points) : 0;
  return sum;
}

Structure one_box(double x, double y, double z) {
  Structure s;
  Piece p = example::piece("box", "A1", Role::other, x, y, Frame{});
  p.thickness = z;
  s.pieces.push_back(p);
  return s;
}

TEST(HiddenLines, ABoxFromTheFrontIsItsOutline) {
  const Structure s = one_box(300, 200, 100);
  const auto lines = Solids(s).project(front_view(), true);
  EXPECT_NEAR(length(lines, true), 2 * (300 + 100), 1e-6);
  EXPECT_NEAR(length(lines, false), 0, 1e-6);
}

TEST(HiddenLines, ACubeInIsometricShowsNineOfItsTwelveEdges) {
  const Structure s = one_box(100, 100, 100);
  const auto lines = Solids(s).project(isometric_view(), true);
  const double edge = 100 * std::sqrt(2.0 / 3);  // every edge is foreshortened alike
  EXPECT_NEAR(length(lines, true), 9 * edge, 0.5);
  EXPECT_NEAR(length(lines, false), 3 * edge, 0.5);
}

TEST(HiddenLines, OneBoxBehindAnother) {
  Structure s = one_box(300, 50, 100);                  // in front: x 0..300, z 0..100
  s.pieces.push_back(one_box(100, 50, 300).pieces[0]);  // behind: x 100..200, z 0..300
  s.pieces[1].mark = "B1";
  s.pieces[1].frame.origin = {100, 60, 0};
  const auto lines = Solids(s).project(front_view(), true);
  EXPECT_NEAR(length(lines, true), 800 + 2 * 200 + 2 * 100, 0.1);
  // Hidden: both uprights below 100. The lower edge lies on the front box's own outline, seen from below it.
  EXPECT_NEAR(length(lines, false), 2 * 100, 0.5);
}

// A line behind two pieces that meet in front of it, just where they meet, is hidden.
TEST(HiddenLines, ASeamIsNotASlit) {
  Structure s = one_box(100, 50, 100);
  s.pieces.push_back(one_box(100, 50, 100).pieces[0]);
  s.pieces[1].frame.origin = {100, 0, 0};
  Piece behind = one_box(50, 50, 50).pieces[0];
  behind.frame.origin = {100, 60, 25};  // its left edge behind the seam, the others behind the second box
  s.pieces.push_back(behind);
  s.pieces[2].mark = "B1";
  for (const Line& line : Solids(s).project(front_view(), true)) {
    EXPECT_FALSE(line.body.index == 2 && line.visible);
  }
}

// Through a notch one sees what stands behind it.
TEST(HiddenLines, ANotchIsOpen) {
  Structure s = one_box(300, 50, 100);
  s.pieces[0].frame = example::along_x(0, 0, 0);
  s.pieces[0].width = 100;
  s.pieces[0].thickness = 45;
  s.pieces[0].machining.push_back(example::notch({{100, 50, 0}, {200, 100, 45}}, Face::edge_high));
  Piece post = one_box(200, 40, 45).pieces[0];
  post.mark = "B1";
  post.frame = example::upright(130);
  post.frame.origin.y = 100;
  s.pieces.push_back(post);
  double seen = 0;
  for (const Line& line : Solids(s).project(front_view(), false)) {
    if (line.body.index == 1) seen += length(line.points);
  }
  // Both sides from 50 up to 200, the top, and the foot, which lies on the outline of the piece in front.
  EXPECT_NEAR(seen, 2 * 150 + 2 * 45, 0.1);
}

// ---- against the kernel's exact hidden-line removal -----------------------------------------------------------------

std::vector<Polyline> polylines(const TopoDS_Shape& edges) {
  std::vector<Polyline> out;
  if (edges.IsNull()) return out;
  for (TopExp_Explorer e(edges, TopAbs_EDGE); e.More(); e.Next()) {
    const BRepAdaptor_Curve curve(TopoDS::Edge(e.Current()));
    const GCPnts_QuasiUniformDeflection points(curve, 0.05);
    Polyline line;
    for (int k = 1; k <= points.NbPoints(); ++k) line.push_back({points.Value(k).X(), points.Value(k).Y()});
    out.push_back(line);
  }
  return out;
}

std::vector<Polyline> kernel_visible(const Structure& s, const Solids& solids, const View& view) {
  TopoDS_Compound all;
  BRep_Builder build;
  build.MakeCompound(all);
  const auto add = [&](Body b) { build.Add(all, kernel_placed(solids.shape(b), frame_of(s, b))); };
  for (int i = 0; i < static_cast<int>(s.pieces.size()); ++i) add(body(PieceId{i}));
  for (int i = 0; i < static_cast<int>(s.panels.size()); ++i) add(body(PanelId{i}));
  const Vec3 right = cross(unit(view.forward), unit(view.up));
  const gp_Ax2 axes({0, 0, 0}, gp_Dir(-view.forward.x, -view.forward.y, -view.forward.z),
                    gp_Dir(right.x, right.y, right.z));
  Handle(HLRBRep_Algo) hlr = new HLRBRep_Algo;
  hlr->Add(all);
  hlr->Projector(HLRAlgo_Projector(axes));
  hlr->Update();
  hlr->Hide();
  HLRBRep_HLRToShape shapes(hlr);
  std::vector<Polyline> lines;
  for (TopoDS_Shape part : {shapes.VCompound(), shapes.OutLineVCompound()}) {
    if (part.IsNull()) continue;
    BRepLib::BuildCurves3d(part);
    for (Polyline& line : polylines(part)) lines.push_back(std::move(line));
  }
  return lines;
}

double distance(std::array<double, 2> p, const std::vector<Polyline>& lines) {
  double best = 1e9;
  for (const Polyline& line : lines) {
    for (std::size_t k = 0; k + 1 < line.size(); ++k) {
      const double ax = line[k][0], ay = line[k][1], dx = line[k + 1][0] - ax, dy = line[k + 1][1] - ay;
      const double t = std::clamp(((p[0] - ax) * dx + (p[1] - ay) * dy) / std::max(dx * dx + dy * dy, 1e-12), 0.0, 1.0);
      best = std::min(best, std::hypot(p[0] - ax - t * dx, p[1] - ay - t * dy));
    }
  }
  return best;
}

// How much of one drawing lies farther than 0.3 mm from every line of the other, mm.
double missing(const std::vector<Polyline>& from, const std::vector<Polyline>& in) {
  double sum = 0;
  for (const Polyline& line : from) {
    for (std::size_t k = 0; k + 1 < line.size(); ++k) {
      const double l = std::hypot(line[k + 1][0] - line[k][0], line[k + 1][1] - line[k][1]);
      const int steps = std::max(1, static_cast<int>(l / 2));
      for (int i = 0; i < steps; ++i) {
        const double t = (i + 0.5) / steps;
        const std::array<double, 2> p{line[k][0] + t * (line[k + 1][0] - line[k][0]),
                                      line[k][1] + t * (line[k + 1][1] - line[k][1])};
        if (distance(p, in) > 0.3) sum += l / steps;
      }
    }
  }
  return sum;
}

class AgainstTheKernel : public testing::TestWithParam<int> {};

TEST_P(AgainstTheKernel, TheSameLinesAreSeen) {
  const View views[] = {front_view(), side_view(), plan_view(), isometric_view(), {{-0.6, 0.7, -0.3}, {0, 0, 1}}};
  View view = views[GetParam()];
  view.forward = unit(view.forward);
  view.up = unit(view.up - dot(view.up, view.forward) * view.forward);
  const Structure s = example::stand();
  const Solids solids(s);
  std::vector<Polyline> ours;
  for (const Line& line : solids.project(view, false)) ours.push_back(line.points);
  const auto theirs = kernel_visible(s, solids, view);
  double total = 0;
  for (const Polyline& line : theirs) total += length(line);
  ASSERT_GT(total, 1000);
  EXPECT_LT(missing(ours, theirs), 0.001 * total);
  EXPECT_LT(missing(theirs, ours), 0.001 * total);
}

INSTANTIATE_TEST_SUITE_P(Views, AgainstTheKernel, testing::Range(0, 5));

}  // namespace
}  // namespace garthwright::solid
