// SPDX-License-Identifier: Apache-2.0
#include "structure/polygon.h"

#include <utility>

namespace garthwright {

void clip_into(const Polygon& polygon, Vec3 point, Vec3 normal, Polygon& kept) {
  kept.clear();
  if (polygon.empty()) return;
  kept.reserve(polygon.size() + 1);
  const double first = dot(polygon.front() - point, normal);
  double a = first;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const bool last = i + 1 == polygon.size();
    const Vec3 &here = polygon[i], &next = last ? polygon.front() : polygon[i + 1];
    const double b = last ? first : dot(next - point, normal);
    if (a <= 0) kept.push_back(here);
    if ((a < 0 && b > 0) || (a > 0 && b < 0)) kept.push_back(here + (a / (a - b)) * (next - here));
    a = b;
  }
}

Polygon clip(const Polygon& polygon, Vec3 point, Vec3 normal) {
  Polygon kept;
  clip_into(polygon, point, normal, kept);
  return kept;
}

Polygon common(const Polygon& a, const Polygon& b, Vec3 normal) {
  Polygon shared = a, kept;
  const Vec3 middle = centroid(b);
  for (std::size_t i = 0; i < b.size() && !shared.empty(); ++i) {
    Vec3 outward = cross(b[(i + 1) % b.size()] - b[i], normal);
    if (dot(outward, middle - b[i]) > 0) outward = -outward;
    clip_into(shared, b[i], outward, kept);
    std::swap(shared, kept);
  }
  return shared;
}

static Vec3 twice_area_vector(const Polygon& polygon) {
  Vec3 sum;
  for (std::size_t i = 2; i < polygon.size(); ++i)
    sum = sum + cross(polygon[i - 1] - polygon[0], polygon[i] - polygon[0]);
  return sum;
}

double area(const Polygon& polygon) { return polygon.size() < 3 ? 0 : 0.5 * norm(twice_area_vector(polygon)); }

Vec3 centroid(const Polygon& polygon) {
  Vec3 weighted, plain;
  double weight = 0;
  const Vec3 up = polygon.size() < 3 ? Vec3{} : twice_area_vector(polygon);
  for (const Vec3& corner : polygon) plain = plain + corner;
  plain = (1.0 / static_cast<double>(polygon.empty() ? 1 : polygon.size())) * plain;
  for (std::size_t i = 2; i < polygon.size(); ++i) {
    const double part = dot(cross(polygon[i - 1] - polygon[0], polygon[i] - polygon[0]), up);
    weighted = weighted + (part / 3.0) * (polygon[0] + polygon[i - 1] + polygon[i]);
    weight += part;
  }
  return weight > 0 ? (1.0 / weight) * weighted : plain;
}

}  // namespace garthwright
