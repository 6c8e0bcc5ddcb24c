// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cmath>

namespace garthwright::assembly {

/// A point or a shift in space, mm: x right, y away from the viewer, z up.
struct Vec3 {
  double x = 0, y = 0, z = 0;

  double& operator[](int axis) { return axis == 0 ? x : axis == 1 ? y : z; }
  double operator[](int axis) const { return axis == 0 ? x : axis == 1 ? y : z; }
  bool operator==(const Vec3&) const = default;
};

inline Vec3 operator+(Vec3 a, Vec3 b) { return {a.x + b.x, a.y + b.y, a.z + b.z}; }
inline Vec3 operator-(Vec3 a, Vec3 b) { return {a.x - b.x, a.y - b.y, a.z - b.z}; }
inline Vec3 operator-(Vec3 a) { return {-a.x, -a.y, -a.z}; }
inline Vec3 operator*(double s, Vec3 a) { return {s * a.x, s * a.y, s * a.z}; }
inline Vec3& operator+=(Vec3& a, Vec3 b) { return a = a + b; }
inline double dot(Vec3 a, Vec3 b) { return a.x * b.x + a.y * b.y + a.z * b.z; }
inline Vec3 cross(Vec3 a, Vec3 b) { return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x}; }
inline double norm(Vec3 a) { return std::sqrt(dot(a, a)); }
inline Vec3 unit(Vec3 a) { return (1.0 / norm(a)) * a; }

}  // namespace garthwright::assembly
