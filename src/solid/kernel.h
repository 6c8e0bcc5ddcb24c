// SPDX-License-Identifier: Apache-2.0
//
// What Open CASCADE is asked for (kernel_calls.h), and its shapes by their type. Exceptions of the kernel end here.
#pragma once

#include <TopoDS_Shape.hxx>

#include "solid/kernel_calls.h"

namespace garthwright::solid {

/// One prism where the machining runs through one way (bores along it become holes in its face); else that prism cut
/// by all the rest in one boolean. An empty compound when nothing is left.
TopoDS_Shape kernel_shape(const Machined& machined, bool with_bores = true);

/// The shape where a Frame puts it; shares the geometry.
TopoDS_Shape kernel_placed(const TopoDS_Shape& shape, const Frame& frame);

}  // namespace garthwright::solid
