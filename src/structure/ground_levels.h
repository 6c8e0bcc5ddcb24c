// SPDX-License-Identifier: Apache-2.0
//
// The finished ground as it was measured: levels at points, straight between them. Garden coordinates, mm.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "base/traced.h"

namespace garthwright {

/// A point whose level is known, as the person gave it.
struct GroundPoint {
  double x = 0, y = 0, level = 0;
  std::string called;  ///< "ground at [3600, 0]", "ground 3000 along the line"
};

/// Between three points that lie apart the ground is a plane: the points are joined into triangles as Delaunay does
/// (no point inside the circle round a triangle; which way a square is parted is settled by the points' order).
/// Points in one row make a ground that is level across the row. Nothing measured is level ground at 0.
class Ground {
 public:
  Ground() = default;
  explicit Ground(std::vector<GroundPoint> points);
  /// Falls (rises, above 0) by `percent` towards a direction (unit), 0 at the origin, for ever.
  static Ground slope(double towards_x, double towards_y, double percent);

  bool measured() const { return slope_ != 0 || !points_.empty(); }
  const std::vector<GroundPoint>& points() const { return points_; }

  struct Level {
    Traced level;         ///< a sum over the points it lies between
    bool beyond = false;  ///< outside of what was measured: the nearest measured place's level was taken
  };
  Level at(double x, double y) const;

 private:
  void join_triangles();
  void join_row();
  Level on_row(double x, double y) const;

  std::vector<GroundPoint> points_;
  std::vector<Traced> levels_;  ///< of the points
  std::vector<std::array<std::size_t, 3>> triangles_;
  std::vector<std::size_t> row_;  ///< where there is no triangle: the points in order along their row
  double way_x_ = 1, way_y_ = 0;  ///< of the row, or of the slope
  double slope_ = 0;
};

}  // namespace garthwright
