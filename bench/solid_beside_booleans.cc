// SPDX-License-Identifier: Apache-2.0
// bench-links: gw_pattern TKBO TKTopAlgo TKBRep TKPrim TKG3d TKMath TKernel
//
// The solids of the shipped examples beside a plain program on Open CASCADE that makes the same bodies by booleans: of
// each timber a box, less a tool for each cut, notch, shaped end and bore, its volume by surface integrals. Processor
// time, least of three; `for each mark` makes equal timbers once, as ours does. `apart` is the largest difference of a
// body's volume, as a part of it: the two have nothing in common but the list of machining.
//
//   build/release/bench/solid_beside_booleans
#include <fmt/format.h>

#include <BRepAlgoAPI_Cut.hxx>
#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepBuilderAPI_MakeVertex.hxx>
#include <BRepBuilderAPI_MakeWire.hxx>
#include <BRepGProp.hxx>
#include <BRepPrimAPI_MakeBox.hxx>
#include <BRepPrimAPI_MakeCylinder.hxx>
#include <BRepPrimAPI_MakePrism.hxx>
#include <BRep_Builder.hxx>
#include <ElCLib.hxx>
#include <GProp_GProps.hxx>
#include <Geom_BezierCurve.hxx>
#include <Geom_Circle.hxx>
#include <Standard_Failure.hxx>
#include <TColgp_Array1OfPnt.hxx>
#include <TopTools_ListOfShape.hxx>
#include <TopoDS_Shape.hxx>
#include <TopoDS_Wire.hxx>
#include <algorithm>
#include <cmath>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <functional>
#include <gp_Ax2.hxx>
#include <gp_Circ.hxx>
#include <gp_Pln.hxx>
#include <map>
#include <numbers>
#include <sstream>
#include <vector>

#include "pattern/job.h"
#include "solid/kernel.h"
#include "solid/machined.h"
#include "solid/solid.h"

namespace garthwright {
namespace {

constexpr double kPast = 10;  // mm that tools reach past the timber

double now_ms() {
  timespec t{};
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return static_cast<double>(t.tv_sec) * 1e3 + static_cast<double>(t.tv_nsec) * 1e-6;
}

double least_ms(const std::function<void()>& run) {
  double least = 1e18;
  for (int i = 0; i < 3; ++i) {
    const double from = now_ms();
    run();
    least = std::min(least, now_ms() - from);
  }
  return least;
}

// ---- the plain program ----------------------------------------------------------------------------------------------

gp_Pnt pnt(Vec3 v) { return {v.x, v.y, v.z}; }
gp_Dir dir(Vec3 v) { return {v.x, v.y, v.z}; }

TopoDS_Shape tool_of(const EndCut& cut, const Box& blank) {
  const double size = 2 * norm(blank.size());
  const gp_Ax2 axes(pnt(cut.point), dir(cut.normal));
  gp_Ax2 corner = axes;
  corner.SetLocation(axes.Location().Translated(gp_Vec(axes.XDirection()) * -size + gp_Vec(axes.YDirection()) * -size));
  return BRepPrimAPI_MakeBox(corner, 2 * size, 2 * size, size).Shape();
}

TopoDS_Shape tool_of(const Notch& notch, const Box& blank) {
  Box open = notch.region;
  for (int axis = 0; axis < 3; ++axis) {
    if (open.min[axis] <= blank.min[axis] + 1e-6) open.min[axis] = blank.min[axis] - kPast;
    if (open.max[axis] >= blank.max[axis] - 1e-6) open.max[axis] = blank.max[axis] + kPast;
  }
  return BRepPrimAPI_MakeBox(pnt(open.min), pnt(open.max)).Shape();
}

TopoDS_Vertex corner_at(double x, double y) {
  TopoDS_Vertex corner = BRepBuilderAPI_MakeVertex(gp_Pnt(x, y, -kPast));
  BRep_Builder().UpdateVertex(corner, 0.01);  // arcs are drawn to a hundredth
  return corner;
}

TopoDS_Edge edge_of(const Stroke& s, double x, double y, const TopoDS_Vertex& from, const TopoDS_Vertex& to) {
  if (s.kind == Stroke::Kind::arc) {
    const gp_Pnt centre(s.centre_x, s.centre_y, -kPast), begin(x, y, -kPast), end(s.x, s.y, -kPast);
    const gp_Circ circle(gp_Ax2(centre, gp_Dir(0, 0, s.clockwise ? -1 : 1)), begin.Distance(centre));
    double first = ElCLib::Parameter(circle, begin), last = ElCLib::Parameter(circle, end);
    if (last < first) last += 2 * std::numbers::pi;
    return BRepBuilderAPI_MakeEdge(new Geom_Circle(circle), from, to, first, last);
  }
  if (s.kind == Stroke::Kind::cubic) {
    TColgp_Array1OfPnt poles(1, 4);
    poles(1) = {x, y, -kPast}, poles(2) = {s.c1x, s.c1y, -kPast};
    poles(3) = {s.c2x, s.c2y, -kPast}, poles(4) = {s.x, s.y, -kPast};
    return BRepBuilderAPI_MakeEdge(new Geom_BezierCurve(poles), from, to, 0.0, 1.0);
  }
  return BRepBuilderAPI_MakeEdge(from, to);
}

TopoDS_Shape tool_of(const ShapedEnd& end, const Box& blank) {
  const double beyond = end.end == End::finish ? blank.max.x + kPast : -kPast;
  const auto outside = [&](double y) { return y < blank.max.y / 2 ? -kPast : blank.max.y + kPast; };
  BRepBuilderAPI_MakeWire wire;
  double x = end.start_x, y = end.start_y;
  const TopoDS_Vertex before = corner_at(x, outside(y));
  TopoDS_Vertex at = corner_at(x, y);
  wire.Add(BRepBuilderAPI_MakeEdge(before, at));
  for (const Stroke& s : end.strokes) {
    if (std::hypot(s.x - x, s.y - y) < 1e-6) continue;
    const TopoDS_Vertex next = corner_at(s.x, s.y);
    wire.Add(edge_of(s, x, y, at, next));
    at = next, x = s.x, y = s.y;
  }
  const TopoDS_Vertex after = corner_at(x, outside(y)), far = corner_at(beyond, outside(y)),
                      near = corner_at(beyond, outside(end.start_y));
  wire.Add(BRepBuilderAPI_MakeEdge(at, after));
  wire.Add(BRepBuilderAPI_MakeEdge(after, far));
  wire.Add(BRepBuilderAPI_MakeEdge(far, near));
  wire.Add(BRepBuilderAPI_MakeEdge(near, before));
  const gp_Pln plane(gp_Pnt(0, 0, -kPast), gp_Dir(0, 0, 1));
  return BRepPrimAPI_MakePrism(BRepBuilderAPI_MakeFace(plane, wire.Wire()).Face(),
                               gp_Vec(0, 0, blank.max.z + 2 * kPast));
}

TopoDS_Shape tool_of(const Hole& hole, const Box& blank) {
  const double depth = hole.through ? norm(blank.size()) : hole.depth;
  return BRepPrimAPI_MakeCylinder(gp_Ax2(pnt(hole.entry - hole.direction), dir(hole.direction)), hole.diameter / 2,
                                  depth + 1)
      .Shape();
}

double volume_by_booleans(const Box& blank, const std::vector<Machining>& machining) {
  try {
    TopTools_ListOfShape stock, tools;
    stock.Append(BRepPrimAPI_MakeBox(pnt(blank.min), pnt(blank.max)).Shape());
    for (const Machining& m : machining) {
      const auto* hole = std::get_if<Hole>(&m);
      if (hole != nullptr && !solid::is_modelled(hole->kind)) continue;
      tools.Append(std::visit([&](const auto& one) { return tool_of(one, blank); }, m));
    }
    TopoDS_Shape body = stock.First();
    if (!tools.IsEmpty()) {
      BRepAlgoAPI_Cut cut;
      cut.SetArguments(stock);
      cut.SetTools(tools);
      cut.Build();
      body = cut.Shape();
    }
    GProp_GProps properties;
    BRepGProp::VolumeProperties(body, properties);
    return properties.Mass();
  } catch (const Standard_Failure&) {
    return 0;
  }
}

// ---- beside ours ----------------------------------------------------------------------------------------------------

std::vector<Structure> structures_of(const std::filesystem::path& file) {
  const std::string root = GARTHWRIGHT_SOURCE_DIR;
  const pattern::Shelves shelves{{root + "/patterns"}, {root + "/catalogues"}};
  std::stringstream text;
  text << std::ifstream(file).rdbuf();
  const auto job = pattern::parse_job(text.str(), file.string(), shelves);
  if (!job) throw std::runtime_error(to_string(job.error().front()));
  auto built = pattern::build_all(*job, shelves);
  if (!built) throw std::runtime_error(to_string(built.error().front()));
  std::vector<Structure> all;
  for (pattern::Built& one : *built) all.push_back(std::move(one.structure));
  return all;
}

struct Compared {
  std::size_t pieces = 0, tools = 0;
  double ours_ms = 0, each_ms = 0, marks_ms = 0;
  double apart = 0;
};

void compare(const Structure& structure, Compared& all) {
  std::vector<double> ours(structure.pieces.size()), theirs(structure.pieces.size());
  all.ours_ms += least_ms([&] {
    const solid::Solids solids(structure);
    for (std::size_t i = 0; i < ours.size(); ++i) {
      const Body b = body(PieceId{static_cast<int>(i)});
      (void)solids.shape(b);
      ours[i] = solids.measures(b).volume_mm3;
    }
  });
  const auto by_booleans = [&](std::size_t i) {
    return volume_by_booleans(structure.pieces[i].blank(), structure.pieces[i].machining);
  };
  all.each_ms += least_ms([&] {
    for (std::size_t i = 0; i < theirs.size(); ++i) theirs[i] = by_booleans(i);
  });
  all.marks_ms += least_ms([&] {
    std::map<std::string, double> of_mark;
    for (std::size_t i = 0; i < theirs.size(); ++i)
      if (!of_mark.contains(structure.pieces[i].mark)) of_mark[structure.pieces[i].mark] = by_booleans(i);
  });
  all.pieces += ours.size();
  for (std::size_t i = 0; i < ours.size(); ++i) {
    all.tools += structure.pieces[i].machining.size();
    all.apart = std::max(all.apart, std::abs(ours[i] - theirs[i]) / ours[i]);
  }
}

void run() {
  fmt::print(
      "| example | pieces | machinings | ours, ms | booleans for each mark, ms | for each piece, ms | apart |\n");
  fmt::print("|---|---|---|---|---|---|---|\n");
  std::vector<std::filesystem::path> jobs;
  for (const auto& entry : std::filesystem::directory_iterator(std::string(GARTHWRIGHT_SOURCE_DIR) + "/examples"))
    if (entry.path().extension() == ".toml") jobs.push_back(entry.path());
  std::sort(jobs.begin(), jobs.end());
  for (const auto& job : jobs) {
    Compared all;
    for (const Structure& structure : structures_of(job)) compare(structure, all);
    fmt::print("| {} | {} | {} | {:.2f} | {:.0f} | {:.0f} | {:.1e} |\n", job.stem().string(), all.pieces, all.tools,
               all.ours_ms, all.marks_ms, all.each_ms, all.apart);
  }
}

}  // namespace
}  // namespace garthwright

int main() {
  try {
    garthwright::run();
  } catch (const std::exception& e) {
    fmt::print(stderr, "{}\n", e.what());
    return 1;
  }
}
