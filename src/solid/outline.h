// SPDX-License-Identifier: Apache-2.0
//
// Flat outlines of true lines, circular arcs and Bézier cubics, in mm. The plane's axes are called p and q so that no
// one takes them for a piece's x and y: which of its axes they are depends on the way the piece was sawn through.
#pragma once

#include <vector>

namespace garthwright::solid {

struct Point2 {
  double p = 0, q = 0;
  bool operator==(const Point2&) const = default;
};

inline Point2 operator+(Point2 a, Point2 b) { return {a.p + b.p, a.q + b.q}; }
inline Point2 operator-(Point2 a, Point2 b) { return {a.p - b.p, a.q - b.q}; }
inline Point2 operator*(double s, Point2 a) { return {s * a.p, s * a.q}; }
inline double dot(Point2 a, Point2 b) { return a.p * b.p + a.q * b.q; }
inline double cross(Point2 a, Point2 b) { return a.p * b.q - a.q * b.p; }
double norm(Point2 a);

/// One edge of an outline; the timber lies to the left of its way.
struct OutlineEdge {
  enum class Kind { line, arc, cubic };
  Kind kind = Kind::line;
  Point2 from, to;
  Point2 centre;                        ///< arc only
  double radius = 0;                    ///< arc only
  double from_angle = 0, to_angle = 0;  ///< arc only, radians; to < from when it turns clockwise
  Point2 handle1, handle2;              ///< cubic only
};

/// Point at t in [0, 1], and the (not unit) direction of travel there.
Point2 point_at(const OutlineEdge& edge, double t);
Point2 tangent_at(const OutlineEdge& edge, double t);

using Loop = std::vector<OutlineEdge>;

/// One connected patch of timber: its rim runs anticlockwise, the openings in it clockwise.
struct Patch {
  Loop rim;
  std::vector<Loop> openings;
};
using Outline = std::vector<Patch>;

/// Area in mm² and ∫p dA, ∫q dA in mm³. By Green's theorem on each edge: exact, for a cubic too (its integrands are
/// polynomials of degree 8 at most, and a five-point Gauss rule is exact to degree 9).
struct AreaMoments {
  double area = 0, first_p = 0, first_q = 0;
};
AreaMoments moments(const Loop& loop);
AreaMoments moments(const Outline& outline);

/// Points along the loop, each edge's start and what it takes to stay within `chord` mm of the curve.
std::vector<Point2> sampled(const OutlineEdge& edge, double chord);

/// Convex polygon, anticlockwise. `curved` where a side of it stands in for a curve.
struct ConvexPolygon {
  std::vector<Point2> points;
  bool curved = false;
};

}  // namespace garthwright::solid
