// SPDX-License-Identifier: Apache-2.0
#include "sheets/shading.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "solid/convex_parts.h"

namespace garthwright::sheets {

namespace {

// Which of two boxes may hide the other: 1 the first, -1 the second, 0 neither (or they reach into each other).
int in_front(const Box& a, const Box& b, Vec3 forward) {
  bool first = false, second = false;
  const auto axis = [&](double a_min, double a_max, double b_min, double b_max, double way) {
    constexpr double kTouch = 0.5;
    if (std::abs(way) < 1e-9) return;
    if (a_max <= b_min + kTouch) (way > 0 ? first : second) = true;
    if (b_max <= a_min + kTouch) (way > 0 ? second : first) = true;
  };
  axis(a.min.x, a.max.x, b.min.x, b.max.x, forward.x);
  axis(a.min.y, a.max.y, b.min.y, b.max.y, forward.y);
  axis(a.min.z, a.max.z, b.min.z, b.max.z, forward.z);
  return first == second ? 0 : first ? 1 : -1;
}

// The boxes from the farthest to the nearest; where they hide each other in a ring, the deepest goes first.
std::vector<std::size_t> far_to_near(const std::vector<Box>& boxes, Vec3 forward) {
  const std::size_t count = boxes.size();
  std::vector<std::vector<std::size_t>> hides(count);  // hides[i]: those that i may hide
  std::vector<int> waiting(count, 0);                  // how many it hides are still to be drawn
  std::vector<std::vector<std::size_t>> hidden_by(count);
  for (std::size_t i = 0; i < count; ++i) {
    for (std::size_t j = i + 1; j < count; ++j) {
      const int order = in_front(boxes[i], boxes[j], forward);
      if (order == 0) continue;
      const std::size_t front = order > 0 ? i : j, back = order > 0 ? j : i;
      hidden_by[back].push_back(front);
      ++waiting[front];
    }
  }
  std::vector<bool> drawn(count, false);
  std::vector<std::size_t> order;
  while (order.size() < count) {
    std::size_t next = count;
    for (std::size_t i = 0; i < count; ++i) {
      if (drawn[i]) continue;
      const auto better = [&](std::size_t other) {
        if ((waiting[i] == 0) != (waiting[other] == 0)) return waiting[i] == 0;
        return dot(boxes[i].centre(), forward) > dot(boxes[other].centre(), forward) + 1e-6;
      };
      if (next == count || better(next)) next = i;
    }
    drawn[next] = true;
    order.push_back(next);
    for (const std::size_t front : hidden_by[next]) --waiting[front];
  }
  return order;
}

// Andrew's monotone chain.
Outline hull(Outline points) {
  std::sort(points.begin(), points.end(), [](Point a, Point b) { return a.x != b.x ? a.x < b.x : a.y < b.y; });
  Outline out;
  const auto turn = [](Point a, Point b, Point c) { return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x); };
  const auto half = [&](auto begin, auto end) {
    const std::size_t start = out.size();
    for (auto it = begin; it != end; ++it) {
      while (out.size() >= start + 2 && turn(out[out.size() - 2], out.back(), *it) <= 0) out.pop_back();
      out.push_back(*it);
    }
    if (!out.empty()) out.pop_back();
  };
  half(points.begin(), points.end());
  half(points.rbegin(), points.rend());
  return out;
}

double area(const Outline& o) {
  double twice = 0;
  for (std::size_t i = 0; i < o.size(); ++i) {
    const Point a = o[i], b = o[(i + 1) % o.size()];
    twice += a.x * b.y - a.y * b.x;
  }
  return std::abs(twice) / 2;
}

}  // namespace

void shade(Items& items, const Outline& outline, int step) {
  constexpr std::array<double, kShades + 1> kSpacing{0, 3.4, 1.9, 1.0, 1.0};
  if (step <= 0) return;
  step = std::min(step, kShades);
  hatch(items, {outline}, kSpacing[static_cast<std::size_t>(step)], 45);
  if (step == kShades) hatch(items, {outline}, kSpacing[kShades], -45);
}

void draw_shading(Items& items, const Structure& structure, const solid::Solids& solids, const solid::View& view,
                  const OnPage& place, const std::function<int(PieceId)>& step_of) {
  constexpr double kLeastArea = 0.6;  // mm² on the page: slivers of a curve are left white
  Group group{"shading", {}};
  const Vec3 right = rightwards(view);
  std::vector<Box> boxes;
  std::vector<Body> bodies;
  for (std::size_t i = 0; i < structure.pieces.size(); ++i) bodies.push_back(body(PieceId{static_cast<int>(i)}));
  for (std::size_t i = 0; i < structure.panels.size(); ++i) bodies.push_back(body(PanelId{static_cast<int>(i)}));
  for (const Body b : bodies) boxes.push_back(world_box(structure, b));
  for (const std::size_t i : far_to_near(boxes, view.forward)) {
    const Body b = bodies[i];
    const int step = b.kind == Body::Kind::piece ? step_of(PieceId{b.index}) : 0;
    const Frame& frame = frame_of(structure, b);
    for (const ConvexPart& part : solids.parts(b)) {
      Outline points;
      for (const Vec3 p : part.vertices) {
        const Vec3 w = frame.to_world(p);
        points.push_back(place(dot(w, right), dot(w, view.up)));
      }
      const Outline seen = hull(std::move(points));
      if (seen.size() < 3) continue;
      fill(group.items, seen, 0);
      if (area(seen) > kLeastArea) shade(group.items, seen, step);
    }
  }
  items.push_back({std::move(group)});
}

}  // namespace garthwright::sheets
