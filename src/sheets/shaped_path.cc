// SPDX-License-Identifier: Apache-2.0
#include "sheets/shaped_path.h"

#include <algorithm>
#include <cmath>

namespace garthwright::sheets {

namespace {

constexpr double kPi = 3.14159265358979323846;

void add_arc(Outline& out, Point from, const garthwright::Stroke& s, double tolerance) {
  const double radius = std::hypot(from.x - s.centre_x, from.y - s.centre_y);
  const double begin = std::atan2(from.y - s.centre_y, from.x - s.centre_x);
  double turn = std::atan2(s.y - s.centre_y, s.x - s.centre_x) - begin;
  if (s.clockwise && turn >= 0) turn -= 2 * kPi;
  if (!s.clockwise && turn <= 0) turn += 2 * kPi;
  // A chord of angle a stands off its arc by r (1 - cos a/2).
  const double step = 2 * std::acos(std::clamp(1 - tolerance / std::max(radius, tolerance), -1.0, 1.0));
  const int count = std::clamp(static_cast<int>(std::ceil(std::abs(turn) / std::max(step, 1e-3))), 1, 4000);
  for (int i = 1; i < count; ++i) {
    const double a = begin + turn * i / count;
    out.push_back({s.centre_x + radius * std::cos(a), s.centre_y + radius * std::sin(a)});
  }
  out.push_back({s.x, s.y});
}

void add_cubic(Outline& out, Point p0, const garthwright::Stroke& s, double tolerance) {
  const Point p1{s.c1x, s.c1y}, p2{s.c2x, s.c2y}, p3{s.x, s.y};
  // n chords stay within √3/8 · |second differences| · 6/n² … of a cubic: the usual bound of Wang's formula.
  const Point a = p0 - 2 * p1 + p2, b = p1 - 2 * p2 + p3;
  const double bend = std::max(std::hypot(a.x, a.y), std::hypot(b.x, b.y));
  const int count = std::clamp(static_cast<int>(std::ceil(std::sqrt(0.75 * bend / tolerance))), 1, 2000);
  for (int i = 1; i <= count; ++i) {
    const double t = static_cast<double>(i) / count, u = 1 - t;
    out.push_back((u * u * u) * p0 + (3 * u * u * t) * p1 + (3 * u * t * t) * p2 + (t * t * t) * p3);
  }
}

}  // namespace

Outline points_of(const ShapedEnd& shape, double tolerance) {
  Outline out{{shape.start_x, shape.start_y}};
  for (const garthwright::Stroke& s : shape.strokes) {
    const Point from = out.back();
    switch (s.kind) {
      case garthwright::Stroke::Kind::line:
        out.push_back({s.x, s.y});
        break;
      case garthwright::Stroke::Kind::arc:
        add_arc(out, from, s, tolerance);
        break;
      case garthwright::Stroke::Kind::cubic:
        add_cubic(out, from, s, tolerance);
        break;
    }
  }
  return out;
}

Outline waste_of(const ShapedEnd& shape, double length, double width) {
  Outline out = points_of(shape, 0.1);
  const double end = shape.end == End::start ? 0 : length;
  const bool upwards = out.back().y > out.front().y;
  out.push_back({end, upwards ? width : 0});
  out.push_back({end, upwards ? 0 : width});
  return out;
}

std::vector<Outline> clipped(const Outline& points, const Rect& box) {
  std::vector<Outline> runs;
  bool open = false;
  for (std::size_t i = 0; i + 1 < points.size(); ++i) {
    const Point a = points[i], d = points[i + 1] - a;
    double enter = 0, leave = 1;
    const auto cut = [&](double from, double speed, double low, double high) {
      if (speed == 0) {
        if (from < low || from > high) leave = -1;
        return;
      }
      const double t0 = (low - from) / speed, t1 = (high - from) / speed;
      enter = std::max(enter, std::min(t0, t1));
      leave = std::min(leave, std::max(t0, t1));
    };
    cut(a.x, d.x, box.left, box.right);
    cut(a.y, d.y, box.top, box.bottom);
    if (enter > leave) {
      open = false;
      continue;
    }
    if (!open || enter > 0) runs.push_back({a + enter * d});
    runs.back().push_back(a + leave * d);
    open = leave >= 1;
  }
  return runs;
}

}  // namespace garthwright::sheets
