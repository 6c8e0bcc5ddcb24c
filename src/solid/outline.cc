// SPDX-License-Identifier: Apache-2.0
#include "solid/outline.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace garthwright::solid {
namespace {

// Gauss-Legendre, five points on [0, 1]: Abramowitz & Stegun, table 25.4.
constexpr std::array<double, 5> kGaussAt{0.5 - 0.5 * 0.90617984593866399, 0.5 - 0.5 * 0.53846931010568309, 0.5,
                                         0.5 + 0.5 * 0.53846931010568309, 0.5 + 0.5 * 0.90617984593866399};
constexpr std::array<double, 5> kGaussWeight{0.5 * 0.23692688505618909, 0.5 * 0.47862867049936647,
                                             0.5 * 0.56888888888888889, 0.5 * 0.47862867049936647,
                                             0.5 * 0.23692688505618909};

// The three integrals of all kinds of edge: ∮ ½(p dq − q dp), ∮ ½p² dq, −∮ ½q² dp.
AreaMoments line_moments(const OutlineEdge& e) {
  const Point2 a = e.from, b = e.to;
  return {cross(a, b) / 2, (b.q - a.q) * (a.p * a.p + a.p * b.p + b.p * b.p) / 6,
          -(b.p - a.p) * (a.q * a.q + a.q * b.q + b.q * b.q) / 6};
}

// Along p = cp + r cos θ, q = cq + r sin θ.
AreaMoments arc_moments(const OutlineEdge& e) {
  const double a = e.from_angle, b = e.to_angle, r = e.radius, cp = e.centre.p, cq = e.centre.q;
  const double sine = std::sin(b) - std::sin(a), cosine = std::cos(b) - std::cos(a), sweep = b - a;
  const double double_sine = (std::sin(2 * b) - std::sin(2 * a)) / 4;
  const double cube_sine = (std::pow(std::sin(b), 3) - std::pow(std::sin(a), 3)) / 3;
  const double cube_cosine = (std::pow(std::cos(b), 3) - std::pow(std::cos(a), 3)) / 3;
  AreaMoments m;
  m.area = 0.5 * (r * r * sweep + cp * r * sine - cq * r * cosine);
  // ∫cos² = sweep/2 + Δsin2θ/4, ∫cos³ = Δsin − Δsin³/3, and their mirror images.
  m.first_p = 0.5 * r * (cp * cp * sine + 2 * cp * r * (sweep / 2 + double_sine) + r * r * (sine - cube_sine));
  m.first_q = 0.5 * r * (-cq * cq * cosine + 2 * cq * r * (sweep / 2 - double_sine) + r * r * (-cosine + cube_cosine));
  return m;
}

AreaMoments cubic_moments(const OutlineEdge& e) {
  AreaMoments m;
  for (std::size_t k = 0; k < kGaussAt.size(); ++k) {
    const Point2 at = point_at(e, kGaussAt[k]), way = tangent_at(e, kGaussAt[k]);
    m.area += kGaussWeight[k] * cross(at, way) / 2;
    m.first_p += kGaussWeight[k] * at.p * at.p * way.q / 2;
    m.first_q -= kGaussWeight[k] * at.q * at.q * way.p / 2;
  }
  return m;
}

AreaMoments edge_moments(const OutlineEdge& e) {
  switch (e.kind) {
    case OutlineEdge::Kind::arc:
      return arc_moments(e);
    case OutlineEdge::Kind::cubic:
      return cubic_moments(e);
    case OutlineEdge::Kind::line:
      break;
  }
  return line_moments(e);
}

void add(AreaMoments& sum, const AreaMoments& more) {
  sum.area += more.area;
  sum.first_p += more.first_p;
  sum.first_q += more.first_q;
}

int steps_along(const OutlineEdge& e, double chord) {
  if (e.kind == OutlineEdge::Kind::line) return 1;
  double n = 1;
  if (e.kind == OutlineEdge::Kind::arc) {
    const double step = 2 * std::acos(std::max(0.0, 1 - chord / std::max(e.radius, chord)));
    n = std::ceil(std::abs(e.to_angle - e.from_angle) / step);
  } else {
    // The chord of a step h lies within h² max|B″| / 8 of the curve.
    const double bend = 6 * std::max(norm(e.from - 2 * e.handle1 + e.handle2), norm(e.handle1 - 2 * e.handle2 + e.to));
    n = std::ceil(std::sqrt(bend / (8 * chord)));
  }
  return static_cast<int>(std::clamp(n, 1.0, 256.0));
}

}  // namespace

double norm(Point2 a) { return std::hypot(a.p, a.q); }

Point2 point_at(const OutlineEdge& e, double t) {
  switch (e.kind) {
    case OutlineEdge::Kind::arc: {
      const double angle = e.from_angle + t * (e.to_angle - e.from_angle);
      return e.centre + e.radius * Point2{std::cos(angle), std::sin(angle)};
    }
    case OutlineEdge::Kind::cubic: {
      const double s = 1 - t;
      return s * s * s * e.from + 3 * s * s * t * e.handle1 + 3 * s * t * t * e.handle2 + t * t * t * e.to;
    }
    case OutlineEdge::Kind::line:
      break;
  }
  return e.from + t * (e.to - e.from);
}

Point2 tangent_at(const OutlineEdge& e, double t) {
  switch (e.kind) {
    case OutlineEdge::Kind::arc: {
      const double sweep = e.to_angle - e.from_angle, angle = e.from_angle + t * sweep;
      return sweep * e.radius * Point2{-std::sin(angle), std::cos(angle)};
    }
    case OutlineEdge::Kind::cubic: {
      const double s = 1 - t;
      const Point2 way =
          3 * s * s * (e.handle1 - e.from) + 6 * s * t * (e.handle2 - e.handle1) + 3 * t * t * (e.to - e.handle2);
      // A handle lying on its end leaves no direction there: the chord's serves.
      return norm(way) > 1e-9 ? way : e.to - e.from;
    }
    case OutlineEdge::Kind::line:
      break;
  }
  return e.to - e.from;
}

AreaMoments moments(const Loop& loop) {
  AreaMoments sum;
  for (const OutlineEdge& e : loop) add(sum, edge_moments(e));
  return sum;
}

AreaMoments moments(const Outline& outline) {
  AreaMoments sum;
  for (const Patch& patch : outline) {
    add(sum, moments(patch.rim));
    for (const Loop& opening : patch.openings) add(sum, moments(opening));
  }
  return sum;
}

std::vector<Point2> sampled(const OutlineEdge& edge, double chord) {
  const int n = steps_along(edge, chord);
  std::vector<Point2> points{edge.from};
  for (int k = 1; k < n; ++k) points.push_back(point_at(edge, static_cast<double>(k) / n));
  return points;
}

}  // namespace garthwright::solid
