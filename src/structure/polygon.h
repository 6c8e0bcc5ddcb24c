// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "base/geometry.h"

namespace garthwright {

/// A flat convex polygon in space, corners in order (anticlockwise seen against its normal).
using Polygon = std::vector<Vec3>;

/// The part of a convex polygon on the side of the plane that `normal` points away from.
Polygon clip(const Polygon& polygon, Vec3 point, Vec3 normal);
/// The same into `kept`, whose memory is used again; not the polygon itself.
void clip_into(const Polygon& polygon, Vec3 point, Vec3 normal, Polygon& kept);
/// The common part of two convex polygons in one plane with this normal (both anticlockwise seen against it or not).
Polygon common(const Polygon& a, const Polygon& b, Vec3 normal);
double area(const Polygon& polygon);
Vec3 centroid(const Polygon& polygon);

}  // namespace garthwright
