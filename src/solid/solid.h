// SPDX-License-Identifier: Apache-2.0
//
// The solids of a structure: what each body weighs, touches and runs into, how it is drawn. Lengths in mm.
//
// A timber sawn through one way (nearly all are) is one prism over its outline, built without a boolean; its volume
// and centre are closed forms, and the kernel (Open CASCADE) agrees with them in the tests. Contacts, clashes and
// hidden lines are computed on convex parts, which follow curves to 0.05 mm.
//
// Bores: bolt holes, counterbores and drains are part of shapes, measures and meshes. Pilot and clearance holes for
// screws are not (they take away grams, and there are hundreds). Contacts, clashes and drawings leave out all bores.
//
// Nothing here fails: machining that makes no sense is left out and said in diagnostics(), a body that has no timber
// left has an empty shape and no volume.
#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "base/geometry.h"
#include "structure/structure.h"

class TopoDS_Shape;

namespace garthwright {
struct ConvexPart;
}

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

/// Two bodies that touch in one plane: area in mm², its centre and the normal from a to b (world). A timber in a notch
/// touches it in up to three planes: three contacts, the largest first.
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

  /// Exact shape of the body in its own coordinates (solid/kernel.h puts it where it stands).
  const TopoDS_Shape& shape(Body body) const;
  /// Exact, in the body's own coordinates.
  Measures measures(Body body) const;
  /// Curves within `deflection` mm.
  const Mesh& mesh(Body body, double deflection = 0.25) const;
  /// Convex parts of the body that make it up without bores, in its own coordinates (solid/convex_parts.h).
  const std::vector<ConvexPart>& parts(Body body) const;
  /// All touching pairs, by body order. Two faces touch when they are within 0.01 mm over at least 1 mm².
  std::vector<Contact> contacts() const;
  std::vector<Clash> clashes() const;
  /// Machining that could not be carried out, pieces with nothing left or cut apart: all errors.
  Diagnostics diagnostics() const;
  /// Hidden-line drawing of the whole structure, or of the given bodies.
  std::vector<Line> project(const View& view, bool with_hidden, const std::vector<Body>& only = {}) const;

 private:
  struct Room;
  std::unique_ptr<Room> room_;
};

/// What the geometry says against a structure, all errors: the solids' own diagnostics, "clash", contacts without a
/// joint ("no-joint"), joints neither fixed nor declared bare ("no-fixing"; a joint in the ground needs none), joints
/// of two solid bodies that do not touch ("no-contact").
Diagnostics check(const Structure& structure, const Solids& solids);

}  // namespace garthwright::solid
