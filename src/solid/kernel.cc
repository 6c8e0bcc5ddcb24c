// SPDX-License-Identifier: Apache-2.0
#include "solid/kernel.h"

#include <BRepAdaptor_Surface.hxx>
#include <BRepAlgoAPI_Cut.hxx>
#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepBuilderAPI_MakeVertex.hxx>
#include <BRepBuilderAPI_MakeWire.hxx>
#include <BRepGProp.hxx>
#include <BRepMesh_IncrementalMesh.hxx>
#include <BRepPrimAPI_MakeBox.hxx>
#include <BRepPrimAPI_MakeCylinder.hxx>
#include <BRepPrimAPI_MakePrism.hxx>
#include <BRepTools.hxx>
#include <BRep_Builder.hxx>
#include <BRep_Tool.hxx>
#include <GProp_GProps.hxx>
#include <Geom_BezierCurve.hxx>
#include <Geom_Circle.hxx>
#include <Poly_PolygonOnTriangulation.hxx>
#include <Poly_Triangulation.hxx>
#include <Standard_Failure.hxx>
#include <TColgp_Array1OfPnt.hxx>
#include <TopExp.hxx>
#include <TopExp_Explorer.hxx>
#include <TopTools_IndexedDataMapOfShapeListOfShape.hxx>
#include <TopTools_ListOfShape.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Compound.hxx>
#include <algorithm>
#include <cmath>
#include <gp_Ax2.hxx>
#include <gp_Circ.hxx>
#include <gp_Pln.hxx>
#include <gp_Trsf.hxx>

#include "solid/closed_form.h"

namespace garthwright::solid {
namespace {

gp_Pnt pnt(Vec3 v) { return {v.x, v.y, v.z}; }
gp_Dir dir(Vec3 v) { return {v.x, v.y, v.z}; }
Vec3 vec3(const gp_Pnt& p) { return {p.X(), p.Y(), p.Z()}; }

Vec3 axis_vector(int axis) {
  Vec3 v;
  v[axis] = 1;
  return v;
}

class PrismMaker {
 public:
  explicit PrismMaker(const Machined& made) : made_(made), depth_(made.blank.size()[made.through]) {}

  TopoDS_Shape make(const std::vector<Bore>& bores) const {
    std::vector<TopoDS_Shape> prisms;
    for (const Patch& patch : made_.plate.outline) prisms.push_back(prism(patch, bores));
    if (prisms.size() == 1) return prisms.front();
    TopoDS_Compound all;
    BRep_Builder build;
    build.MakeCompound(all);
    for (const TopoDS_Shape& one : prisms) build.Add(all, one);
    return all;
  }

 private:
  gp_Pnt at(Point2 point) const { return pnt(made_.point(point, 0)); }

  TopoDS_Edge edge(const OutlineEdge& e, const TopoDS_Vertex& from, const TopoDS_Vertex& to) const {
    switch (e.kind) {
      case OutlineEdge::Kind::arc: {
        const bool anticlockwise = e.to_angle > e.from_angle;
        const Vec3 normal = axis_vector(made_.through), p = axis_vector(made_.p_axis());
        // A clockwise arc is an anticlockwise one about the reversed axis, its angles mirrored.
        const gp_Ax2 axes(at(e.centre), dir(anticlockwise ? normal : -normal), dir(p));
        const double sign = anticlockwise ? 1 : -1;
        return BRepBuilderAPI_MakeEdge(new Geom_Circle(gp_Circ(axes, e.radius)), from, to, sign * e.from_angle,
                                       sign * e.to_angle);
      }
      case OutlineEdge::Kind::cubic: {
        TColgp_Array1OfPnt poles(1, 4);
        poles(1) = at(e.from);
        poles(2) = at(e.handle1);
        poles(3) = at(e.handle2);
        poles(4) = at(e.to);
        return BRepBuilderAPI_MakeEdge(new Geom_BezierCurve(poles), from, to, 0.0, 1.0);
      }
      case OutlineEdge::Kind::line:
        break;
    }
    return BRepBuilderAPI_MakeEdge(from, to);
  }

  TopoDS_Wire wire(const Loop& loop) const {
    std::vector<TopoDS_Vertex> corners;
    const auto curved = [&](std::size_t k) { return loop[k].kind != OutlineEdge::Kind::line; };
    for (std::size_t k = 0; k < loop.size(); ++k) {
      corners.push_back(BRepBuilderAPI_MakeVertex(at(loop[k].from)));
      // Arcs are kept within a tenth of a thousandth of the corners they were drawn between, at both ends.
      if (curved(k) || curved((k + loop.size() - 1) % loop.size())) BRep_Builder().UpdateVertex(corners.back(), 1e-4);
    }
    BRepBuilderAPI_MakeWire wire;
    for (std::size_t k = 0; k < loop.size(); ++k) {
      wire.Add(edge(loop[k], corners[k], corners[(k + 1) % corners.size()]));
    }
    return wire.Wire();
  }

  TopoDS_Shape prism(const Patch& patch, const std::vector<Bore>& bores) const {
    const gp_Pln plane(gp_Pnt(0, 0, 0), dir(axis_vector(made_.through)));
    BRepBuilderAPI_MakeFace face(plane, wire(patch.rim));
    for (const Loop& opening : patch.openings) face.Add(wire(opening));
    for (const Bore& bore : bores) {
      Vec3 centre = bore.entry;
      centre[made_.through] = 0;
      const gp_Ax2 axes(pnt(centre), dir(-axis_vector(made_.through)));
      face.Add(BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(gp_Circ(axes, bore.radius))));
    }
    const Vec3 along = depth_ * axis_vector(made_.through);
    return BRepPrimAPI_MakePrism(face.Face(), gp_Vec(along.x, along.y, along.z));
  }

  const Machined& made_;
  const double depth_;
};

// A bore that can be drawn as a hole in the prism's face: along it, from face to face, clear of every edge.
bool pierces_prism(const Machined& made, const Bore& bore) {
  if (!made.prism() || made.plate.outline.size() != 1 || std::abs(bore.way[made.through]) < 1 - 1e-12) return false;
  const double depth = made.blank.size()[made.through];
  const auto run = clean(made, bore);
  return run && run->length > depth - 1e-6;
}

bool apart(const Bore& a, const Bore& b) { return norm(cross(b.entry - a.entry, a.way)) > a.radius + b.radius + 0.01; }

TopoDS_Shape half_space(const Plane& waste_above, double size) {
  const gp_Ax2 axes(pnt(waste_above.offset * waste_above.normal), dir(waste_above.normal));
  gp_Ax2 corner = axes;
  corner.SetLocation(axes.Location().Translated(gp_Vec(axes.XDirection()) * -size + gp_Vec(axes.YDirection()) * -size));
  return BRepPrimAPI_MakeBox(corner, 2 * size, 2 * size, size);
}

TopoDS_Shape cylinder(const Bore& bore) {
  const Vec3 start = bore.entry - 1.0 * bore.way;  // from a little above the face it enters
  return BRepPrimAPI_MakeCylinder(gp_Ax2(pnt(start), dir(bore.way)), bore.radius, bore.length + 1.0);
}

TopoDS_Shape empty_compound() {
  TopoDS_Compound none;
  BRep_Builder().MakeCompound(none);
  return none;
}

TopoDS_Shape build(const Machined& made, bool with_bores) {
  std::vector<Bore> in_face, across;
  if (with_bores) {
    for (const Bore& bore : made.bores) {
      const bool alone = std::all_of(made.bores.begin(), made.bores.end(),
                                     [&](const Bore& b) { return &b == &bore || apart(b, bore); });
      (alone && pierces_prism(made, bore) ? in_face : across).push_back(bore);
    }
  }
  const TopoDS_Shape prism = PrismMaker(made).make(in_face);
  TopTools_ListOfShape tools;
  for (const Box& notch : made.notches) tools.Append(BRepPrimAPI_MakeBox(pnt(notch.min), pnt(notch.max)).Shape());
  const Vec3 centre = made.blank.centre();
  const double size = 2 * norm(made.blank.size());
  for (const Plane& cut : made.cuts) {
    const double off = height_above(cut, centre);
    if (off < -size) continue;  // far clear of the timber
    // The tool's square is centred near the timber, however far off the plane's own foot lies.
    const Vec3 foot = centre - off * cut.normal;
    TopoDS_Shape tool = half_space({cut.normal, 0}, size);
    gp_Trsf move;
    move.SetTranslation(gp_Vec(foot.x, foot.y, foot.z));
    tools.Append(tool.Moved(TopLoc_Location(move)));
  }
  for (const Bore& bore : across) tools.Append(cylinder(bore));
  if (tools.IsEmpty()) return prism;
  TopTools_ListOfShape stock;
  stock.Append(prism);
  BRepAlgoAPI_Cut cut;
  cut.SetArguments(stock);
  cut.SetTools(tools);
  cut.SetRunParallel(false);
  cut.Build();
  return cut.IsDone() ? cut.Shape() : empty_compound();
}

// ---- meshing --------------------------------------------------------------------------------------------------------

Vec3 normal_beside(const TopoDS_Edge& edge, const TopoDS_Face& face) {
  double first = 0, last = 0;
  const Handle(Geom2d_Curve) trace = BRep_Tool::CurveOnSurface(edge, face, first, last);
  if (trace.IsNull()) return {};
  const gp_Pnt2d uv = trace->Value((first + last) / 2);
  gp_Pnt at;
  gp_Vec du, dv;
  BRepAdaptor_Surface(face, false).D1(uv.X(), uv.Y(), at, du, dv);
  const gp_Vec n = du.Crossed(dv);
  if (n.Magnitude() < 1e-12) return {};
  const double sign = face.Orientation() == TopAbs_REVERSED ? -1 : 1;
  return (sign / n.Magnitude()) * Vec3{n.X(), n.Y(), n.Z()};
}

// Where the surface turns by more than about a degree, or ends.
bool sharp(const TopoDS_Edge& edge, const TopTools_ListOfShape& faces) {
  if (faces.Extent() < 2) return true;
  const TopoDS_Face& a = TopoDS::Face(faces.First());
  const TopoDS_Face& b = TopoDS::Face(faces.Last());
  if (a.IsSame(b)) return false;  // the seam of a round face
  return dot(normal_beside(edge, a), normal_beside(edge, b)) < 0.9998;
}

void add_triangles(const TopoDS_Face& face, Mesh& mesh) {
  TopLoc_Location where;
  const Handle(Poly_Triangulation) made = BRep_Tool::Triangulation(face, where);
  if (made.IsNull()) return;
  const auto base = static_cast<std::uint32_t>(mesh.points.size());
  for (int k = 1; k <= made->NbNodes(); ++k) mesh.points.push_back(vec3(made->Node(k).Transformed(where)));
  for (int k = 1; k <= made->NbTriangles(); ++k) {
    int a = 0, b = 0, c = 0;
    made->Triangle(k).Get(a, b, c);
    if (face.Orientation() == TopAbs_REVERSED) std::swap(b, c);
    const auto index = [&](int node) { return base + static_cast<std::uint32_t>(node - 1); };
    mesh.triangles.push_back({index(a), index(b), index(c)});
  }
}

void add_edge(const TopoDS_Edge& edge, const TopoDS_Face& face, Mesh& mesh) {
  TopLoc_Location where;
  const Handle(Poly_Triangulation) made = BRep_Tool::Triangulation(face, where);
  if (made.IsNull()) return;
  const Handle(Poly_PolygonOnTriangulation) along = BRep_Tool::PolygonOnTriangulation(edge, made, where);
  if (along.IsNull()) return;
  std::vector<Vec3> line;
  for (int k = 1; k <= along->NbNodes(); ++k) line.push_back(vec3(made->Node(along->Node(k)).Transformed(where)));
  mesh.edges.push_back(std::move(line));
}

}  // namespace

TopoDS_Shape kernel_shape(const Machined& machined, bool with_bores) {
  if (machined.parts.empty()) return empty_compound();
  try {
    return build(machined, with_bores);
  } catch (const Standard_Failure&) {
    return empty_compound();
  }
}

void load_kernel() {}  // linked with it

std::shared_ptr<const TopoDS_Shape> kernel_kept_shape(const Machined& machined, bool with_bores) {
  return std::make_shared<const TopoDS_Shape>(kernel_shape(machined, with_bores));
}

Measures kernel_measures(const TopoDS_Shape& shape) {
  try {
    GProp_GProps props;
    BRepGProp::VolumeProperties(shape, props);
    if (!(props.Mass() > 0)) return {};
    return {props.Mass(), vec3(props.CentreOfMass())};
  } catch (const Standard_Failure&) {
    return {};
  }
}

Mesh kernel_mesh(const TopoDS_Shape& shape, double deflection) {
  Mesh mesh;
  try {
    BRepTools::Clean(shape);  // else triangles of an earlier, finer call would be kept
    BRepMesh_IncrementalMesh(shape, deflection, false, 0.35, false);
    for (TopExp_Explorer f(shape, TopAbs_FACE); f.More(); f.Next()) add_triangles(TopoDS::Face(f.Current()), mesh);
    TopTools_IndexedDataMapOfShapeListOfShape faces_of;
    TopExp::MapShapesAndAncestors(shape, TopAbs_EDGE, TopAbs_FACE, faces_of);
    for (int k = 1; k <= faces_of.Extent(); ++k) {
      const TopoDS_Edge& edge = TopoDS::Edge(faces_of.FindKey(k));
      if (BRep_Tool::Degenerated(edge) || faces_of(k).IsEmpty()) continue;
      if (sharp(edge, faces_of(k))) add_edge(edge, TopoDS::Face(faces_of(k).First()), mesh);
    }
  } catch (const Standard_Failure&) {
    return {};
  }
  return mesh;
}

TopoDS_Shape kernel_placed(const TopoDS_Shape& shape, const Frame& f) {
  gp_Trsf to_world;
  to_world.SetValues(f.x.x, f.y.x, f.z.x, f.origin.x, f.x.y, f.y.y, f.z.y, f.origin.y, f.x.z, f.y.z, f.z.z, f.origin.z);
  return shape.Moved(TopLoc_Location(to_world));
}

}  // namespace garthwright::solid
