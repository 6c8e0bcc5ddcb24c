// SPDX-License-Identifier: Apache-2.0
//
// What the solids ask of Open CASCADE, without its types: whoever links this may load it when it is first asked.
#pragma once

#include <memory>

#include "solid/machined.h"
#include "solid/solid.h"

namespace garthwright::solid {

/// Loads it now, where it would be loaded when first asked; takes some tens of milliseconds, for a thread that is idle.
void load_kernel();

/// The exact shape of a machined body; an empty compound when nothing is left.
std::shared_ptr<const TopoDS_Shape> kernel_kept_shape(const Machined& machined, bool with_bores);

/// By surface integrals over the shape.
Measures kernel_measures(const TopoDS_Shape& shape);

Mesh kernel_mesh(const TopoDS_Shape& shape, double deflection);

}  // namespace garthwright::solid
