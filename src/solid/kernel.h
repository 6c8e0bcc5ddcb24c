// SPDX-License-Identifier: Apache-2.0
//
// What Open CASCADE is asked for: the exact shape of a machined body, its measures, its triangles. Exceptions of the
// kernel end here.
#pragma once

#include <TopoDS_Shape.hxx>
#include <optional>

#include "solid/machined.h"
#include "solid/solid.h"

namespace garthwright::solid {

/// One prism where the machining runs through one way (bores along it become holes in its face); else that prism cut
/// by all the rest in one boolean. An empty compound when nothing is left.
TopoDS_Shape kernel_shape(const Machined& machined, bool with_bores = true);

/// By surface integrals over the shape.
Measures kernel_measures(const TopoDS_Shape& shape);

Mesh kernel_mesh(const TopoDS_Shape& shape, double deflection);

/// The shape where a Frame puts it; shares the geometry.
TopoDS_Shape kernel_placed(const TopoDS_Shape& shape, const Frame& frame);

}  // namespace garthwright::solid
