// SPDX-License-Identifier: Apache-2.0
#include "structure/ground_levels.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace garthwright {
namespace {

constexpr double kSame = 1e-6;      // mm: two places are one
constexpr double kOneRow = 1e-4;    // part of the span squared: a triangle so flat is none
constexpr double kUnsettle = 1e-9;  // part of the span squared: parts squares one way

double doubled_area(const GroundPoint& a, const GroundPoint& b, const GroundPoint& c) {
  return (b.x - a.x) * (c.y - a.y) - (c.x - a.x) * (b.y - a.y);
}

/// The place on a to b that is nearest to x, y: 0 at a, 1 at b.
double nearest_part(const GroundPoint& a, const GroundPoint& b, double x, double y) {
  const double dx = b.x - a.x, dy = b.y - a.y, length = dx * dx + dy * dy;
  return length > 0 ? std::clamp(((x - a.x) * dx + (y - a.y) * dy) / length, 0.0, 1.0) : 0;
}

double span_squared(const std::vector<GroundPoint>& points) {
  double most = 0;
  for (const GroundPoint& a : points)
    for (const GroundPoint& b : points) most = std::max(most, (a.x - b.x) * (a.x - b.x) + (a.y - b.y) * (a.y - b.y));
  return most;
}

}  // namespace

Ground::Ground(std::vector<GroundPoint> points) : points_(std::move(points)) {
  for (const GroundPoint& p : points_) levels_.push_back(Traced::named(p.called, p.level, "measured"));
  join_triangles();
  if (triangles_.empty()) join_row();
}

Ground Ground::slope(double towards_x, double towards_y, double percent) {
  Ground ground;
  ground.way_x_ = towards_x, ground.way_y_ = towards_y, ground.slope_ = percent / 100;
  return ground;
}

/// Delaunay by its definition: lifted onto the paraboloid x² + y², a triangle belongs to it when no other point lies
/// below its plane. Every triple is tried: there are few points.
void Ground::join_triangles() {
  const double span = span_squared(points_);
  std::vector<double> lifted;
  for (std::size_t i = 0; i < points_.size(); ++i) {
    double whole = 0;
    const double settle = std::modf(0.6180339887498949 * static_cast<double>(i + 1), &whole);
    const double x = points_[i].x - points_[0].x, y = points_[i].y - points_[0].y;
    lifted.push_back(x * x + y * y + kUnsettle * span * settle);
  }
  for (std::size_t i = 0; i < points_.size(); ++i)
    for (std::size_t j = i + 1; j < points_.size(); ++j)
      for (std::size_t k = j + 1; k < points_.size(); ++k) {
        const GroundPoint &a = points_[i], &b = points_[j], &c = points_[k];
        const double area = doubled_area(a, b, c);
        if (std::abs(area) < kOneRow * span) continue;
        const bool empty = [&] {
          for (std::size_t m = 0; m < points_.size(); ++m) {
            if (m == i || m == j || m == k) continue;
            const GroundPoint& p = points_[m];
            const double u = doubled_area(p, b, c) / area, v = doubled_area(a, p, c) / area;
            if (lifted[m] < u * lifted[i] + v * lifted[j] + (1 - u - v) * lifted[k]) return false;
          }
          return true;
        }();
        if (empty) triangles_.push_back({i, j, k});
      }
}

void Ground::join_row() {
  for (std::size_t i = 0; i < points_.size(); ++i) row_.push_back(i);
  if (points_.size() < 2) return;
  double most = 0;
  for (const GroundPoint& p : points_) {
    const double dx = p.x - points_[0].x, dy = p.y - points_[0].y, length = std::hypot(dx, dy);
    if (length > most) most = length, way_x_ = dx / length, way_y_ = dy / length;
  }
  std::stable_sort(row_.begin(), row_.end(), [&](std::size_t a, std::size_t b) {
    return points_[a].x * way_x_ + points_[a].y * way_y_ < points_[b].x * way_x_ + points_[b].y * way_y_;
  });
}

Ground::Level Ground::on_row(double x, double y) const {
  const auto along = [&](double px, double py) { return px * way_x_ + py * way_y_; };
  const double at = along(x, y);
  const auto place = [&](std::size_t i) { return along(points_[i].x, points_[i].y); };
  if (at <= place(row_.front())) return {levels_[row_.front()], at < place(row_.front()) - kSame};
  if (at >= place(row_.back())) return {levels_[row_.back()], at > place(row_.back()) + kSame};
  std::size_t next = 1;
  while (place(row_[next]) < at) ++next;
  const double from = place(row_[next - 1]), part = (at - from) / std::max(kSame, place(row_[next]) - from);
  return {(1 - part) * levels_[row_[next - 1]] + part * levels_[row_[next]], false};
}

Ground::Level Ground::at(double x, double y) const {
  if (slope_ != 0) {
    const double along = x * way_x_ + y * way_y_;
    return {Traced::named(fmt::format("slope {:g} % over {:.0f}", 100 * slope_, along), slope_ * along, "measured"),
            false};
  }
  if (points_.empty()) return {Traced(0), false};
  if (triangles_.empty()) return on_row(x, y);
  const GroundPoint here{x, y, 0, ""};
  for (const auto& [i, j, k] : triangles_) {
    const double area = doubled_area(points_[i], points_[j], points_[k]);
    const double u = doubled_area(here, points_[j], points_[k]) / area,
                 v = doubled_area(points_[i], here, points_[k]) / area;
    if (u < -1e-9 || v < -1e-9 || u + v > 1 + 1e-9) continue;
    return {u * levels_[i] + v * levels_[j] + (1 - u - v) * levels_[k], false};
  }
  // Beyond: the nearest place of any triangle's edge.
  double least = std::numeric_limits<double>::max();
  Traced level;
  for (const auto& t : triangles_)
    for (std::size_t e = 0; e < 3; ++e) {
      const GroundPoint &a = points_[t[e]], &b = points_[t[(e + 1) % 3]];
      const double part = nearest_part(a, b, x, y);
      const double away = std::hypot(a.x + part * (b.x - a.x) - x, a.y + part * (b.y - a.y) - y);
      if (away >= least - kSame) continue;
      least = away;
      level = (1 - part) * levels_[t[e]] + part * levels_[t[(e + 1) % 3]];
    }
  return {level, true};
}

}  // namespace garthwright
