// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <algorithm>
#include <array>
#include <cmath>

namespace garthwright {

/// Point or direction in millimetres, right-handed. World axes: x to the right seen from the front, y to the back,
/// z up; z = 0 is the finished ground.
struct Vec3 {
  double x = 0, y = 0, z = 0;

  bool operator==(const Vec3&) const = default;
  double operator[](int axis) const { return axis == 0 ? x : axis == 1 ? y : z; }
  double& operator[](int axis) { return axis == 0 ? x : axis == 1 ? y : z; }
};

inline Vec3 operator+(Vec3 a, Vec3 b) { return {a.x + b.x, a.y + b.y, a.z + b.z}; }
inline Vec3 operator-(Vec3 a, Vec3 b) { return {a.x - b.x, a.y - b.y, a.z - b.z}; }
inline Vec3 operator-(Vec3 a) { return {-a.x, -a.y, -a.z}; }
inline Vec3& operator+=(Vec3& a, Vec3 b) { return a = a + b; }
inline Vec3 operator*(double s, Vec3 a) { return {s * a.x, s * a.y, s * a.z}; }
inline Vec3 operator*(Vec3 a, double s) { return s * a; }
inline double dot(Vec3 a, Vec3 b) { return a.x * b.x + a.y * b.y + a.z * b.z; }
inline Vec3 cross(Vec3 a, Vec3 b) { return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x}; }
inline double norm(Vec3 a) { return std::sqrt(dot(a, a)); }
inline Vec3 unit(Vec3 a) { return (1.0 / norm(a)) * a; }

/// Where a body stands: local coordinates are measured from `origin` along the orthonormal, right-handed x, y, z.
struct Frame {
  Vec3 origin;
  Vec3 x{1, 0, 0}, y{0, 1, 0}, z{0, 0, 1};

  bool operator==(const Frame&) const = default;
  Vec3 direction_to_world(Vec3 v) const { return v.x * x + v.y * y + v.z * z; }
  Vec3 direction_to_local(Vec3 v) const { return {dot(v, x), dot(v, y), dot(v, z)}; }
  Vec3 to_world(Vec3 p) const { return origin + direction_to_world(p); }
  Vec3 to_local(Vec3 p) const { return direction_to_local(p - origin); }
};

/// Axis-aligned box in whichever coordinates its holder says; empty when a minimum is above its maximum.
struct Box {
  Vec3 min, max;

  bool operator==(const Box&) const = default;
  Vec3 size() const { return max - min; }
  Vec3 centre() const { return 0.5 * (min + max); }
  double volume() const { return size().x * size().y * size().z; }
};

inline Box intersection(const Box& a, const Box& b) {
  return {{std::max(a.min.x, b.min.x), std::max(a.min.y, b.min.y), std::max(a.min.z, b.min.z)},
          {std::min(a.max.x, b.max.x), std::min(a.max.y, b.max.y), std::min(a.max.z, b.max.z)}};
}

inline Box enclosing(const Box& a, const Box& b) {
  return {{std::min(a.min.x, b.min.x), std::min(a.min.y, b.min.y), std::min(a.min.z, b.min.z)},
          {std::max(a.max.x, b.max.x), std::max(a.max.y, b.max.y), std::max(a.max.z, b.max.z)}};
}

/// True when the boxes share volume: more than `slack` mm along every axis.
inline bool overlaps(const Box& a, const Box& b, double slack) {
  const Vec3 common = intersection(a, b).size();
  return common.x > slack && common.y > slack && common.z > slack;
}

/// Sine and cosine of an angle in degrees; exact at multiples of 90.
double sind(double degrees);
double cosd(double degrees);

}  // namespace garthwright
