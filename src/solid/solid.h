// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "base/geometry.h"
#include "structure/structure.h"

class TopoDS_Shape;

namespace garthwright::solid {

/// Volume in mm³ and centre of mass, in the coordinates of whoever asked.
struct Measures {
  double volume_mm3 = 0;
  Vec3 centre;
};

/// Triangles, outward by the right-hand rule, in piece coordinates; edges are the sharp lines of the solid for drawing.
struct Mesh {
  std::vector<Vec3> points;
  std::vector<std::array<std::uint32_t, 3>> triangles;
  std::vector<std::vector<Vec3>> edges;
};

/// Two bodies that touch: area in mm², its centre and the normal from a to b (world).
struct Contact {
  Body a, b;
  double area_mm2 = 0;
  Vec3 point, normal;
};

/// Two bodies that share volume after machining, beyond 0.01 mm.
struct Clash {
  Body a, b;
  double volume_mm3 = 0;
};

/// One line of a projected drawing in the picture's plane (mm, x right, y up), and the body it belongs to.
struct Line {
  Body body;
  bool visible = true;
  std::vector<std::array<double, 2>> points;
};

/// Parallel projection: looking along `forward` (unit, world) with `up` upwards in the picture.
struct View {
  Vec3 forward, up;
};
View front_view();  ///< looking to the back (+y)
View side_view();   ///< looking from the right to the left (−x)
View plan_view();   ///< looking down (−z), the back upwards
View isometric_view();

/// The solids of one structure. Shapes are made once for each mark and shared; everything is made when first asked for.
/// Not to be shared between threads.
class Solids {
 public:
  explicit Solids(const Structure& structure);  ///< the structure must outlive it and have its marks
  ~Solids();
  Solids(Solids&&) noexcept;

  /// Exact shape of the body in its own coordinates / where it stands.
  const TopoDS_Shape& shape(Body body) const;
  TopoDS_Shape placed(Body body) const;
  /// Exact, in the body's own coordinates.
  Measures measures(Body body) const;
  /// Curves within `deflection` mm.
  const Mesh& mesh(Body body, double deflection = 0.25) const;
  /// All touching pairs, by body order. Two faces touch when they are within 0.01 mm over at least 1 mm².
  std::vector<Contact> contacts() const;
  std::vector<Clash> clashes() const;
  /// Hidden-line drawing of the whole structure, or of the given bodies.
  std::vector<Line> project(const View& view, bool with_hidden, const std::vector<Body>& only = {}) const;

 private:
  struct Room;
  std::unique_ptr<Room> room_;
};

/// What the geometry says against a structure: clashes (errors), contacts without a joint or joints neither fixed nor
/// declared bare (errors), joints whose bodies do not touch (errors).
Diagnostics check(const Structure& structure, const Solids& solids);

}  // namespace garthwright::solid
